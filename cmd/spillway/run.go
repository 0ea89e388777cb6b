package main

import (
	"errors"
	"fmt"
	"io"
	"syscall"

	"spillway/network/diag"
)

// console is what a run talks to. Results go to out, everything else to err.
type console struct {
	in       io.Reader
	out, err io.Writer
	color    bool // out is a terminal that shows colour
	width    int  // columns of the terminal that out is, 0 none
}

// Exit codes.
const (
	solved     = 0
	unsolvable = 1 // or could not be written
	wrongCall  = 2 // or wrong job file
	atFault    = 3 // with --strict
)

// failure is an error with its exit code. A failure without text has been told already.
type failure struct {
	code int
	err  error
}

func (f *failure) Error() string {
	if f.err == nil {
		return ""
	}
	return f.err.Error()
}

func (f *failure) Unwrap() error { return f.err }

// fail makes a failure with a message of its own.
func fail(code int, format string, args ...any) error {
	return &failure{code: code, err: fmt.Errorf(format, args...)}
}

// told is a failure whose message stands on standard error already.
func told(code int) error { return &failure{code: code} }

// run executes one call of the program and returns its exit code.
func run(args []string, c console) int {
	root := newRoot(c)
	root.SetArgs(args)
	err := root.Execute()
	if err == nil {
		return solved
	}
	code := wrongCall // what the command line parser refuses
	var f *failure
	if errors.As(err, &f) {
		code = f.code
	}
	if list, ok := diag.As(err); ok { // says itself which file and line it is about
		fmt.Fprint(c.err, list.Error())
		return wrongCall
	}
	if text := err.Error(); text != "" && !readerLeft(err) {
		fmt.Fprintf(c.err, "spillway: %s\n", text)
	}
	return code
}

// readerLeft tells whether the error is only that nobody reads on, as behind "| head": nothing to complain about.
func readerLeft(err error) bool { return errors.Is(err, syscall.EPIPE) }

// worse is the more serious of two exit codes: not solved before a wrong job before a fault.
func worse(a, b int) int {
	rank := func(code int) int {
		switch code {
		case unsolvable:
			return 3
		case wrongCall:
			return 2
		case atFault:
			return 1
		}
		return 0
	}
	if rank(b) > rank(a) {
		return b
	}
	return a
}

// emit writes results to standard output.
func (c console) emit(data []byte) error {
	if _, err := c.out.Write(data); err != nil {
		return fail(unsolvable, "cannot write results: %w", err)
	}
	return nil
}
