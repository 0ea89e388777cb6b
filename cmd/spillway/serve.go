package main

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"os"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/render/page/live"
)

// serveFlags are the flags of serve.
type serveFlags struct {
	common
	listen string
}

func newServe(c console) *cobra.Command {
	f := &serveFlags{}
	cmd := &cobra.Command{
		Use:   "serve JOB",
		Short: "Open a live page on this machine: drag a damper, watch the air",
		Long: "Serves a page on this machine on which dampers, weights and taps are moved by hand while the\n" +
			"picture, the ledger and the findings follow. The job file is read again when it changes on disk;\n" +
			"a mistake in it is shown with its line, over the last picture that was in order. Nothing is\n" +
			"written: the page shows a change as text to paste into the file. End it with Ctrl-C.",
		Example:           "  spillway serve house.toml",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return c.serve(ctx, args[0], f)
		},
	}
	f.common.add(cmd, false)
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the page, if not the job file's")
	cmd.Flags().StringVar(&f.listen, "listen", "127.0.0.1:7117", "`ADDRESS` and port; port 0 takes a free one")
	return cmd
}

// serve answers until its context ends.
func (c console) serve(ctx context.Context, name string, f *serveFlags) error {
	if name == "-" {
		return fail(wrongCall, "serve watches a file; standard input cannot be watched")
	}
	if f.alternative == everyAlternative {
		return fail(wrongCall, "the page has all alternatives; choose one, or none, to begin with")
	}
	host, port, err := net.SplitHostPort(f.listen)
	if err != nil {
		return fail(wrongCall, "--listen takes an address and a port, such as 127.0.0.1:7117: %w", err)
	}
	if _, err := strconv.ParseUint(port, 10, 16); err != nil {
		return fail(wrongCall, "--listen cannot take port %q; a port is a number from 0 to 65535", diag.Visible(port))
	}
	opt := live.Options{Name: name, Source: watched(name), Set: f.set, Alternative: f.alternative,
		Log: log.New(c.err, "spillway: ", 0)}
	if f.units.value != "" {
		sys := quantity.IP
		if f.units.value == "si" {
			sys = quantity.SI
		}
		opt.Units = &sys
	}
	desk, err := live.New(opt)
	if err != nil {
		if list, ok := diag.As(err); ok {
			return c.tell(name, list)
		}
		var failed *failure
		if errors.As(err, &failed) {
			return err
		}
		return fail(wrongCall, "%s: %w", diag.Visible(name), err)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fail(wrongCall, "--listen %s would show the page to other machines; spillway serves this machine only: give 127.0.0.1, ::1 or localhost", diag.Visible(host))
	}
	line, err := net.Listen("tcp", f.listen)
	if err != nil {
		return fail(unsolvable, "cannot listen: %w", err)
	}
	// Requests end with the program: a page that waits for news of the file must not keep it from ending.
	base, end := context.WithCancel(ctx)
	defer end()
	server := &http.Server{
		Handler: desk, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 32 << 10,
		ErrorLog: log.New(c.err, "spillway: ", 0), BaseContext: func(net.Listener) context.Context { return base },
	}
	go desk.Watch(base)
	fmt.Fprintf(c.err, "spillway: %s is on http://%s/ (only this machine can see it); Ctrl-C ends it\n", diag.Visible(name), line.Addr())
	done := make(chan error, 1)
	go func() { done <- server.Serve(line) }()
	select {
	case err := <-done:
		return fail(unsolvable, "the page ended: %w", err)
	case <-ctx.Done():
	}
	end()
	wait, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := server.Shutdown(wait); err != nil {
		server.Close()
	}
	fmt.Fprintln(c.err, "spillway: ended")
	return nil
}

// watched is a job file on disk, read when its time or size changes.
func watched(name string) live.Source {
	return func(last string) ([]byte, string, error) {
		info, err := os.Stat(name)
		if err != nil {
			return nil, "", fail(wrongCall, "cannot read %s: %w", diag.Visible(name), cause(err))
		}
		stamp := fmt.Sprintf("%d %d", info.ModTime().UnixNano(), info.Size())
		if stamp == last {
			return nil, stamp, nil
		}
		data, err := readJobFile(name, nil)
		return data, stamp, err
	}
}
