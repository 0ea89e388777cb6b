package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"spillway/network"
	"spillway/network/diag"
)

// everyAlternative is the value of --alternative that stands for the file as it is and each of its alternatives.
const everyAlternative = "all"

// largestJob bounds how much of a file is read, so that a device or a wrong file cannot fill the memory.
const largestJob = 16 << 20

// readJobFile returns the bytes of a job file; "-" is standard input.
func readJobFile(name string, in io.Reader) ([]byte, error) {
	source := in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, fail(wrongCall, "cannot read %s: %w", diag.Visible(name), cause(err))
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, fail(wrongCall, "cannot read %s: it is a folder, not a job file", diag.Visible(name))
		}
		source = f
	}
	data, err := io.ReadAll(io.LimitReader(source, largestJob+1))
	if err != nil {
		return nil, fail(wrongCall, "cannot read %s: %w", diag.Visible(name), cause(err))
	}
	if len(data) > largestJob {
		return nil, fail(wrongCall, "cannot read %s: it has more than 16 MiB, and a job file has at most 1", diag.Visible(name))
	}
	return data, nil
}

// cause is the reason of a file error without the operation and path, which our messages name themselves.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}

// load reads a job file and builds the graph of each variant that the flags ask for: the file as it stands or with one alternative,
// or all of them. Cautions and errors go to standard error.
func (c console) load(name string, f *common) ([]*network.Graph, error) {
	data, err := readJobFile(name, c.in)
	if err != nil {
		return nil, err
	}
	if name == "-" {
		name = "standard input"
	}
	graphs, found, err := variants(name, data, f)
	if found.HasErrors() {
		return nil, c.tell(name, found)
	}
	if err != nil {
		return nil, err
	}
	if len(found) > 0 {
		fmt.Fprintln(c.err, found.Error())
	}
	return graphs, nil
}

// variants reads a job's text in each variant that the flags ask for and builds its graph. What can be told of the text is in the list,
// which has an error exactly when there are no graphs and no other error; cautions come along with graphs.
func variants(name string, data []byte, f *common) ([]*network.Graph, diag.List, error) {
	wanted := []string{f.alternative}
	if f.alternative == everyAlternative {
		base, found := network.Read(name, data, network.Options{Set: f.set})
		if base == nil {
			return nil, found, nil
		}
		wanted = []string{""}
		for _, a := range base.Alternatives {
			wanted = append(wanted, a.Name)
		}
	}
	var graphs []*network.Graph
	var cautions diag.List
	for _, alternative := range wanted {
		job, found := network.Read(name, data, network.Options{Alternative: alternative, Set: f.set})
		if job == nil {
			return nil, found, nil
		}
		cautions = append(cautions, found.Cautions()...)
		g, err := network.Build(job)
		if list, ok := diag.As(err); ok {
			return nil, list, nil
		}
		if err != nil {
			return nil, nil, refused(name, alternative, err)
		}
		graphs = append(graphs, g)
	}
	return graphs, cautions.Sorted(), nil // Sorted drops what several variants have in common
}

// tell prints what is wrong with a job file and how much it is.
func (c console) tell(name string, found diag.List) error {
	fmt.Fprint(c.err, found.Error())
	if n := len(found.Errors()); n > 1 {
		fmt.Fprintf(c.err, "\n%s: %d errors\n", diag.Visible(name), n)
	}
	return told(wrongCall)
}

// buildError says which job cannot be built.
func (c console) buildError(name, alternative string, err error) error {
	if list, ok := diag.As(err); ok {
		return c.tell(name, list)
	}
	return refused(name, alternative, err)
}

// refused is the failure of a network that the builder or the solver does not take.
func refused(name, alternative string, err error) error {
	if alternative != "" {
		return fail(wrongCall, "%s, alternative %q: %w", diag.Visible(name), diag.Visible(alternative), err)
	}
	return fail(wrongCall, "%s: %w", diag.Visible(name), err)
}
