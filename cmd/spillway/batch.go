package main

import (
	"errors"
	"fmt"
	"runtime"
	"time"

	"github.com/spf13/cobra"
)

// batchFlags are the flags of batch.
type batchFlags struct {
	common
	workers   int
	firstLine int // number of the first line of input, for a piece of a longer list
	jobLimits
}

// jobLimits bound what one job of a batch may take from the others.
type jobLimits struct {
	states int           // call states of a job, those of all its alternatives together
	time   time.Duration // that solving them may take
}

// What a job of a batch may take unless the flags say otherwise. Our choice: eight zones in two modes
// have 510 call states, each keeps about a megabyte until its job's line is written, and a house takes
// well under a second.
const (
	batchStates = 512
	batchTime   = time.Minute
)

func newBatch(c console) *cobra.Command {
	f := &batchFlags{}
	cmd := &cobra.Command{
		Use:   "batch [JOB...]",
		Short: "Solve many jobs: one JSON line out for every one in, in order",
		Long: "Solves the job files given, or the jobs that come in on standard input, one per line, on all\n" +
			"cores. Out comes exactly one line of JSON for each, in the order of the input and while it\n" +
			"still comes in; a job that is wrong gets a line that says so and does not stop the rest.\n" +
			"A blank line of input is not a job.\n" +
			"Memory does not grow with the number of jobs, so it fits as a filter into any batch engine.\n" +
			"A job with more call states than --most-states, or that takes longer than --most-time, gets a\n" +
			"line that says so; name the states that matter, or give it more.\n\n" +
			"A line of input is the name of a job file, or JSON with the file's name or text:\n\n" +
			"  {\"id\": 17, \"file\": \"house.toml\", \"set\": [\"damper.main.stop=30 %\"], \"states\": [\"loft\"]}\n" +
			"  {\"id\": 18, \"job\": \"title = ...\", \"alternative\": \"all\", \"units\": \"si\"}\n\n" +
			"id is any JSON and comes back as it is; set, states, alternative and units are as the flags\n" +
			"of the same names, and stand in their place. A line of output has\n\n" +
			"  line      number of the line, or of the job file, from 1\n" +
			"  id, file  as they came in; null where they did not\n" +
			"  code      0 solved, 1 could not be solved, 2 the job or the line is wrong\n" +
			"  messages  errors and cautions: severity, summary, fix, file, line, column, text\n" +
			"  results   what \"solve --format json\" prints, one for each alternative\n\n" +
			"The exit code is the worst of the lines', 1 before 2.",
		Example: "  spillway batch jobs/*.toml > results.jsonl\n" +
			"  find jobs -name '*.toml' | spillway batch --alternative all > results.jsonl\n" +
			"  split -n r/4 jobs.jsonl part. && for p in part.*; do spillway batch <$p >$p.out & done; wait",
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.batch(args, f) },
	}
	f.common.add(cmd, true)
	cmd.Flags().IntVar(&f.workers, "workers", 0, "solve so many jobs at once; 0: one per core")
	cmd.Flags().IntVar(&f.firstLine, "first-line", 1, "`NUMBER` of the first line of input, when it is a piece of a longer list")
	cmd.Flags().IntVar(&f.jobLimits.states, "most-states", batchStates, "refuse a job of more call states than this `NUMBER`, all its alternatives together")
	cmd.Flags().DurationVar(&f.time, "most-time", batchTime, "give up a job that takes longer than this `TIME`, such as 30s or 5m")
	return cmd
}

// batch lets tasks flow from a reader through the workers to the writer. What is between reading and writing at one time is bounded by
// the queue, however many jobs there are and however unequal they are.
func (c console) batch(names []string, f *batchFlags) error {
	if f.workers < 0 || f.workers > 4096 {
		return fail(wrongCall, "--workers cannot be %d; it takes 0 to 4096", f.workers)
	}
	if f.firstLine < 1 {
		return fail(wrongCall, "--first-line cannot be %d; it takes 1 or more", f.firstLine)
	}
	if f.jobLimits.states < 1 {
		return fail(wrongCall, "--most-states cannot be %d; it takes 1 or more", f.jobLimits.states)
	}
	if f.time <= 0 {
		return fail(wrongCall, "--most-time cannot be %s; it takes a time such as 30s or 5m", f.time)
	}
	workers := f.workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	stop := make(chan struct{})
	defer close(stop)
	tasks, queue := make(chan *task), make(chan *task, 4*workers)
	for range workers {
		go func() {
			for t := range tasks {
				t.done <- t.solve(&f.common, f.jobLimits)
			}
		}()
	}
	var reading error
	go func() {
		defer close(queue)
		defer close(tasks)
		reading = c.eachTask(names, f.firstLine, func(t *task) bool {
			select {
			case queue <- t:
			case <-stop:
				return false
			}
			select {
			case tasks <- t:
				return true
			case <-stop:
				return false
			}
		})
	}()
	code := solved
	for t := range queue {
		a := <-t.done
		code = worse(code, a.code)
		if err := c.emit(a.line()); err != nil {
			return err
		}
	}
	if reading != nil {
		return reading
	}
	if code != solved {
		return told(code)
	}
	return nil
}

// eachTask passes the jobs of the arguments or of standard input, numbered from first, to take until
// there are no more or take refuses one.
func (c console) eachTask(names []string, first int, take func(*task) bool) error {
	if len(names) > 0 && !(len(names) == 1 && names[0] == "-") {
		for i, name := range names {
			if !take(&task{number: first + i, request: request{File: name}, done: make(chan answer, 1)}) {
				return nil
			}
		}
		return nil
	}
	lines := newLineReader(c.in)
	for number := first; ; number++ {
		line, err := lines.next()
		if errors.Is(err, errEnd) {
			return nil
		}
		if err != nil && !errors.Is(err, errLongLine) {
			return fail(wrongCall, "cannot read standard input: %w", cause(err))
		}
		if err == nil && len(line) == 0 {
			continue
		}
		t := &task{number: number, done: make(chan answer, 1)}
		if err == nil {
			err = t.request.parse(line)
		}
		if err != nil {
			t.wrong = fmt.Errorf("line %d: %w", number, err)
		}
		if !take(t) {
			return nil
		}
	}
}
