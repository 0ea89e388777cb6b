package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"spillway/network/diag"
)

// writeFile writes a file whole or not at all: into a new file in the same folder, which then takes the old one's place and its
// permissions. A file that exists survives any failure. What is no ordinary file (a pipe, a device) is written directly.
func writeFile(path string, data []byte) error {
	if err := replaceFile(path, data); err != nil {
		return fail(unsolvable, "cannot write %s: %w", diag.Visible(path), cause(err))
	}
	return nil
}

func replaceFile(path string, data []byte) (err error) {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target // the link stays a link
	}
	mode := fs.FileMode(0o666) // less what the user's mask takes away
	old, statErr := os.Stat(path)
	switch {
	case statErr == nil && old.IsDir():
		return errors.New("it is a folder")
	case statErr == nil && !old.Mode().IsRegular():
		return writeThrough(path, data)
	case statErr == nil:
		mode = old.Mode().Perm()
		// A file that may not be written must not be replaced either, though its folder would allow it.
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		f.Close()
	}
	if parent, err := os.Stat(filepath.Dir(path)); err != nil || !parent.IsDir() {
		return fmt.Errorf("there is no folder %s", diag.Visible(filepath.Dir(path)))
	}
	f, err := createBeside(path, mode)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if statErr == nil {
		if err := f.Chmod(mode); err != nil {
			f.Close()
			return err
		}
	}
	if _, err := f.Write(data); err != nil {
		f.Close()
		return err
	}
	if err := f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// spareInput refuses a call that would write its results over a file that it reads: the job is the one thing that cannot be made again.
// Two names of one file, as links give, are seen through.
func spareInput(cmd *cobra.Command, args []string) error {
	for _, name := range []string{"output", "chart"} {
		flag := cmd.Flags().Lookup(name)
		if flag == nil || flag.Value.String() == "" {
			continue
		}
		written, err := os.Stat(flag.Value.String())
		if err != nil || !written.Mode().IsRegular() {
			continue // not there yet, or nothing that is replaced
		}
		for _, arg := range args {
			if read, err := os.Stat(arg); err == nil && os.SameFile(read, written) {
				return fail(wrongCall, "--%s %s would replace %s, which is read; give another name",
					name, diag.Visible(flag.Value.String()), diag.Visible(arg))
			}
		}
	}
	return nil
}

// sameFile reports whether two names that are to be written mean one file, whether it exists or not.
func sameFile(a, b string) bool {
	if a == "" || b == "" {
		return false
	}
	if x, err := os.Stat(a); err == nil {
		y, err := os.Stat(b)
		return err == nil && x.Mode().IsRegular() && os.SameFile(x, y)
	}
	x, errX := filepath.Abs(a)
	y, errY := filepath.Abs(b)
	return errX == nil && errY == nil && x == y
}

// createBeside makes a new file in the folder of another, with permissions that follow the user's mask (os.CreateTemp's do not).
func createBeside(path string, mode fs.FileMode) (*os.File, error) {
	for i := 0; ; i++ {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".spillway-%d-%d.part", os.Getpid(), i))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if errors.Is(err, fs.ErrExist) && i < 1000 {
			continue
		}
		return f, err
	}
}

func writeThrough(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

// slug makes a file name of a state's name: letters and digits in lower case, everything else a hyphen.
func slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() > longestSlug {
			break
		}
	}
	if s := strings.TrimRight(b.String(), "-"); s != "" {
		return s
	}
	return "state"
}

// longestSlug keeps file names below what file systems allow.
const longestSlug = 120
