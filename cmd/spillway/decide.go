package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/diagnose"
	"spillway/solver/study"
)

// decideFlags are the flags of decide.
type decideFlags struct {
	studyFlags
	mend bool
}

func newDecide(c console) *cobra.Command {
	f := &decideFlags{}
	cmd := &cobra.Command{
		Use:   "decide JOB",
		Short: "Put the options on one page to decide and sign",
		Long: "Solves the house as the file stands and with each of its alternatives, and puts " +
			"on\n" +
			"one letter page: the options in rows with their verdicts and what is bought for\n" +
			"them; of the one that is chosen the settings, with stops as actuators are marked,\n" +
			"the readings that confirm them and what is left to watch; a place to sign.\n\n" +
			"--alternative chooses. Without it the option with the least at fault is taken, the\n" +
			"gravest class first. --mend adds an option of its own: the cheapest set of changes\n" +
			"that clears every fault, which takes some seconds to find.",
		Example: "  spillway decide house.toml\n" +
			"  spillway decide house.toml --alternative bypass --format html -o house.html",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			return c.decide(args[0],
				f)
		},
	}
	f.add(cmd)
	cmd.Flags().BoolVar(&f.mend, "mend", false,
		"also the cheapest set of changes that clears every fault, as option \"mended\"")
	return cmd
}

// mendedName is what the option is called that mend finds.
const mendedName = "mended"

func (c console) decide(name string, f *decideFlags) error {
	wanted := f.alternative
	if wanted == everyAlternative {
		wanted = ""
	}
	f.alternative = ""
	data, err := readJobFile(name, c.in)
	if err != nil {
		return err
	}
	c.in = bytes.NewReader(data) // standard input is read once
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	most := 0
	if f.mend {
		most = decideMost
	}
	found, err := s.Decide(v, g.Job.Alternatives, most)
	if err != nil {
		return c.studyError(name, "", err)
	}
	at, err := chosenIn(found, wanted)
	if err != nil {
		return err
	}
	page := deciding(found, at, data)
	head := headOf(name, g, &f.studyFlags)
	var b bytes.Buffer
	d := sheet.Decide(head, page)
	if f.format.value == "html" {
		err = sheet.WriteLetter(&b, d)
	} else {
		err = sheet.Write(&b, d, f.format.value, c.style(f.output))
	}
	if err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}

// decideMost is how many call states are solved to find changes; mend alone may take more.
const decideMost = 6000

// chosenIn is the option of a name; "" takes the best.
func chosenIn(found *study.Decision, wanted string) (int, error) {
	if wanted == "" {
		return found.Best, nil
	}
	at := slices.IndexFunc(found.Choices, func(c study.Choice) bool { return c.Name == wanted })
	if at >= 0 {
		return at, nil
	}
	var names []string
	for i := range found.Choices[1:] {
		names = append(names, found.Choices[i+1].Name)
	}
	hint := diag.DidYouMean(wanted, names)
	switch {
	case wanted == mendedName:
		hint = "--mend looks for one"
	case hint == "":
		hint = "the options are the file's alternatives"
	}
	return 0, fail(wrongCall, "there is no option %q; %s", diag.Visible(wanted), hint)
}

// deciding is the page of a decision with one option chosen.
func deciding(found *study.Decision, at int, data []byte) *sheet.Deciding {
	page := &sheet.Deciding{Decision: found, Chosen: at}
	sum := sha256.Sum256(data)
	page.Mark = hex.EncodeToString(sum[:6])
	chosen := &found.Choices[at]
	plan := diagnose.Handover(chosen.Result.Graph, chosen.Result.Outcomes[chosen.WorstCall].State)
	if list, err := diagnose.Expect(chosen.Result.Graph, plan); err == nil {
		page.Readings = list
	}
	return page
}
