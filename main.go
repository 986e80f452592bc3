// Hindwatt tells a maker whether a small solar charge controller does what its label says.
package main

import (
	"os"

	"hindwatt/internal/cli"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
