//go:build race

package solve

// slower is how many times as long the race detector may make it take.
const slower = 10
