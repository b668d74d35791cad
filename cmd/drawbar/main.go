// Drawbar tells a recovery crew whether a loaded transporter can make a way:
// where it stalls, where it cuts in, which bridge it may not use, where a
// second tow must wait, where to go round, and what is still unknown.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
