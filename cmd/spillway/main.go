// Command spillway shows where the surplus air of a zoned forced-air system goes.
//
// One small file per command: flags in, a call, output out. This is the only package that touches files, the terminal and exit
// codes; it does no physics and no drawing of its own.
//
// Exit codes: 0 solved; 1 could not solve or write; 2 the job file or the call is wrong; 3 with --strict when a finding is at
// fault.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], console{in: os.Stdin, out: os.Stdout, err: os.Stderr, color: hasColor(os.Stdout), width: widthOf(os.Stdout)}))
}
