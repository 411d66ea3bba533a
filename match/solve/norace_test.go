//go:build !race

package solve

const slower = 1 // see race_test.go
