module shuntwright

go 1.26

require (
	github.com/jedib0t/go-pretty/v6 v6.8.3 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/spf13/pflag v1.1.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
)
