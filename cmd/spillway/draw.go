package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/schematic"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
)

func newDraw(c console) *cobra.Command {
	f := &common{}
	var output, against string
	cmd := &cobra.Command{
		Use:   "draw JOB",
		Short: "Draw the system in a call state as an SVG picture",
		Long: "Draws what is installed with the air that moves in a call state: width by airflow, colour by\n" +
			"velocity. One state goes to standard output or to a file; all states, or those chosen, go\n" +
			"into a folder under names of their own. A name that ends in a slash is a folder, which is\n" +
			"made when it is not there.\n\n" +
			"With --against the colour shows what changes: where more air runs, and where less, than in\n" +
			"another alternative, or than in the file as it stands (\"file\"), which takes no --set.",
		Example: "  spillway draw house.toml --state \"cooling: loft\" -o loft.svg\n" +
			"  spillway draw house.toml -o pictures/\n" +
			"  spillway draw house.toml --state \"cooling: loft\" --alternative bypass --against file -o what-changes.svg",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.draw(args[0], f, output, against) },
	}
	f.add(cmd, true)
	cmd.Flags().StringVarP(&output, "output", "o", "", "write to this `FILE`, or every state to this FOLDER/; whole or not at all")
	cmd.Flags().StringVar(&against, "against", "", "show what changes against the alternative of this `NAME`, or against \"file\" as it stands")
	complete(cmd, "against", completeAlternatives)
	return cmd
}

// picture is a finished drawing and the name of its file in a folder.
type picture struct {
	name string
	data []byte
}

// draw makes all pictures before it writes the first, so that a state that fails leaves nothing half done.
func (c console) draw(name string, f *common, output, against string) error {
	graphs, err := c.load(name, f)
	if err != nil {
		return err
	}
	var outcomes []*state.Outcome
	for _, g := range graphs {
		chosen, err := chooseStates(g, f.states)
		if err != nil {
			return err
		}
		folder := isFolder(output)
		if many := len(graphs) * len(chosen); many > 1 && !folder {
			return fail(wrongCall, "%s has %d pictures to draw: choose one with --state, or give a folder for all with -o pictures%c",
				diag.Visible(name), many, filepath.Separator)
		}
		cases, err := c.cases(name, g, session.Options{Choose: choosing(f.states), NoStops: true})
		if err != nil {
			return err
		}
		for _, made := range cases {
			outcomes = append(outcomes, made.Outcome)
		}
	}
	before, err := c.before(name, f, against)
	if err != nil {
		return err
	}
	beforeName := against
	if against == theFile {
		beforeName = "the file"
	}
	pictures := make([]picture, len(outcomes))
	taken := map[string]bool{}
	for i, o := range outcomes {
		sys := f.system(o.Graph.Job.Units)
		var b bytes.Buffer
		if err := schematic.Draw(&b, o, schematic.Options{Units: sys, Sentence: sheet.Sentence(o, sys), Before: before[o.State.Name], BeforeName: beforeName}); err != nil {
			return fail(unsolvable, "cannot draw %q: %w", diag.Visible(o.State.Name), err)
		}
		pictures[i] = picture{name: freeName(pictureName(o), taken), data: b.Bytes()}
	}
	switch {
	case output == "":
		return c.emit(pictures[0].data)
	case !isFolder(output):
		return writeFile(output, pictures[0].data)
	}
	if err := writeFolder(output, pictures); err != nil {
		return err
	}
	for _, p := range pictures {
		fmt.Fprintln(c.err, diag.Visible(filepath.Join(output, p.name)))
	}
	return nil
}

// writeFolder writes all pictures or none: each in full beside its place before the first takes it. A
// folder that was made for them goes again when they cannot be written; what others have in one stays.
func writeFolder(folder string, pictures []picture) (err error) {
	_, missing := os.Stat(folder)
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return fail(unsolvable, "cannot make the folder %s: %w", diag.Visible(folder), cause(err))
	}
	var staged []string
	defer func() {
		if err == nil {
			return
		}
		for _, name := range staged {
			os.Remove(name)
		}
		if missing != nil {
			os.Remove(folder) // only when it is empty
		}
	}()
	for _, p := range pictures {
		path := filepath.Join(folder, p.name)
		part, err := stageFile(path, p.data)
		if part != "" {
			staged = append(staged, part)
		}
		if err != nil {
			return fail(unsolvable, "cannot write %s: %w", diag.Visible(path), cause(err))
		}
	}
	for i, p := range pictures {
		path := filepath.Join(folder, p.name)
		if err := os.Rename(staged[i], path); err != nil {
			return fail(unsolvable, "cannot write %s: %w", diag.Visible(path), cause(err))
		}
	}
	return nil
}

// stageFile writes a file in full beside the one that it is to replace and returns its name, "" when
// none was made.
func stageFile(path string, data []byte) (string, error) {
	mode := os.FileMode(0o666) // less what the user's mask takes away
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return "", errors.New("it is no file")
		}
		mode = info.Mode().Perm()
	}
	f, err := createBeside(path, mode)
	if err != nil {
		return "", err
	}
	_, err = f.Write(data)
	return f.Name(), errors.Join(err, f.Sync(), f.Close())
}

// isFolder tells whether an output name means a folder: by a slash at its end, or because it is one.
func isFolder(path string) bool {
	if path == "" {
		return false
	}
	if os.IsPathSeparator(path[len(path)-1]) {
		return true
	}
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func pictureName(o *state.Outcome) string {
	name := o.State.Name
	if o.Graph.Job.Alternative != "" {
		name = o.Graph.Job.Alternative + " " + name
	}
	return slug(name)
}

// freeName adds a number to a name that is taken, and ".svg".
func freeName(name string, taken map[string]bool) string {
	free := name
	for i := 2; taken[free]; i++ {
		free = fmt.Sprintf("%s-%d", name, i)
	}
	taken[free] = true
	return free + ".svg"
}

// theFile is the value of --against that stands for the job file as it is.
const theFile = "file"

// before solves what difference pictures are held against, by the names of the call states; nil without.
func (c console) before(name string, f *common, against string) (map[string]*state.Outcome, error) {
	if against == "" {
		return nil, nil
	}
	if name == "-" {
		return nil, fail(wrongCall, "--against reads the job twice, which standard input cannot be")
	}
	other := *f
	other.alternative = against
	if against == theFile {
		other.alternative, other.set = "", nil
	}
	graphs, err := c.load(name, &other)
	if err != nil {
		return nil, err
	}
	if len(graphs) != 1 {
		return nil, fail(wrongCall, "--against takes one alternative, or %q", theFile)
	}
	cases, err := c.cases(name, graphs[0], session.Options{Choose: choosing(f.states), NoStops: true})
	if err != nil {
		return nil, err
	}
	byName := make(map[string]*state.Outcome, len(cases))
	for _, made := range cases {
		byName[made.Outcome.State.Name] = made.Outcome
	}
	return byName, nil
}
