// Command pleatstat reads a log of oil filters that were cut open and measured, fits
// trends over them, flags what lies off these, and writes the findings.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/usage"
)

// Exit codes.
const (
	exitDone      = 0
	exitFailed    = 1
	exitUsage     = 2
	exitLogErrors = 3 // the log has errors: check, or --strict
)

func main() {
	// Writing to a pipe that its reader has closed is then an error like any other, so
	// that a run cleans up after itself instead of being killed by the signal.
	signal.Ignore(syscall.SIGPIPE)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run runs the command line and returns the exit code. A signal to end is obeyed
// wherever the run is, even while it waits for a pipe: work done in steps stops at the
// next step and removes its files; any other work is abandoned.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := untilSignal()
	defer stop()
	a := &app{Console: console.New(stdin, stdout, stderr), today: time.Now()}
	done := make(chan int, 1)
	go func() { done <- a.exit(a.execute(ctx, args)) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
	}
	select {
	case code := <-done:
		return code
	case <-time.After(grace):
	}
	reported := make(chan struct{})
	go func() { a.Complain(errStopped); close(reported) }()
	select {
	case <-reported:
	case <-time.After(grace / 10): // standard error blocks too
	}
	return exitFailed
}

// grace is how long a run may take to clean up after a signal to end. Whoever sent the
// signal waits that long for the prompt.
const grace = 100 * time.Millisecond

var errStopped = errors.New("stopped; no file was left half-written")

// untilSignal returns a context that is done when the process is told to end: from the
// keyboard, by the system, or because its terminal is gone. A signal that was ignored
// when the process started (nohup) stays ignored.
func untilSignal() (context.Context, context.CancelFunc) {
	endings := slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}, signal.Ignored)
	if len(endings) == 0 { // without arguments NotifyContext would take all signals
		return context.WithCancel(context.Background())
	}
	return signal.NotifyContext(context.Background(), endings...)
}

// logError is the error of a log with unusable or doubtful readings; these have been
// printed already.
type logError struct{ message string }

func (e *logError) Error() string { return e.message }

// exit reports an error to the user and returns its exit code.
func (a *app) exit(err error) int {
	var wrong *usage.Error
	var log *logError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &wrong):
		a.Complain(wrong)
		fmt.Fprintf(a.Err, "See: %s --help\n", wrong.Command)
		return exitUsage
	case errors.As(err, &log):
		a.Complain(log)
		return exitLogErrors
	case errors.Is(err, syscall.EPIPE):
		// The reader of the output closed the pipe: no message, but not all of the output
		// was delivered.
		return exitFailed
	case errors.Is(err, context.Canceled):
		a.Complain(errStopped)
		return exitFailed
	}
	a.Complain(err)
	return exitFailed
}
