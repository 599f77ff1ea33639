// Command lowslung answers what a change to a small-scale rock crawler does, before a part is ordered, cut or printed.
package main

import (
	"os"

	"lowslung/cli"
)

func main() { os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
