module shuntwright

go 1.26

require (
	github.com/jedib0t/go-pretty/v6 v6.8.3
	github.com/rogpeppe/go-internal v1.16.0
	github.com/spf13/pflag v1.1.0
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/mattn/go-runewidth v0.0.16 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/term v0.29.0 // indirect
	golang.org/x/text v0.23.0 // indirect
	golang.org/x/tools v0.30.0 // indirect
)
