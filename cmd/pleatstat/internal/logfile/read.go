package logfile

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/dataset"
)

// Read reads the log named on the command line.
func (o *Options) Read(ctx context.Context, c *console.Console, path string) (*dataset.Log, error) {
	return o.ReadAndCopy(ctx, c, path, nil)
}

// ReadAndCopy reads the log and, if original is not nil, copies its bytes there: what
// comes through a pipe cannot be read again.
func (o *Options) ReadAndCopy(ctx context.Context, c *console.Console, path string, original *bytes.Buffer) (*dataset.Log, error) {
	if err := checkMemory(c, path, readNeed); err != nil {
		return nil, err
	}
	log, err := console.Work(ctx, c, "reading the log", func() (*dataset.Log, error) {
		var from io.Reader = c.In
		name := "standard input"
		switch {
		case path == console.Stdin:
		case original == nil && nameOf(path) == path:
			log, err := dataset.ReadFile(path, o.Dataset())
			return log, noFile(path, err)
		default:
			f, err := os.Open(path)
			if err != nil {
				return nil, noFile(path, err)
			}
			defer f.Close()
			from, name = f, nameOf(path)
		}
		if original != nil {
			from = io.TeeReader(from, original)
		}
		return dataset.Read(from, name, o.Dataset())
	})
	if err != nil {
		return nil, err
	}
	log, err = log.Where(o.where...)
	return log, whereError(err)
}

// whereError names the flag that a condition came from.
func whereError(err error) error {
	var bad *dataset.ConditionError
	if errors.As(err, &bad) {
		return fmt.Errorf("--where %q: %s", bad.Condition, bad.Reason)
	}
	return err
}

// openFile matches the paths of open files, such as the one that "<(…)" of a shell
// stands for.
var openFile = regexp.MustCompile(`^/(?:dev|proc/(?:self|\d+))/fd/(\d+)$`)

// nameOf returns the name that messages give a log: its path, unless that only
// numbers an open file.
func nameOf(path string) string {
	m := openFile.FindStringSubmatch(path)
	switch {
	case path == "/dev/stdin", m != nil && m[1] == "0":
		return "standard input"
	case m != nil:
		return "a pipe"
	}
	return path
}

// noFile replaces the error of a missing file by one in plain words.
func noFile(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %q", path)
	}
	return err
}

// Inputs identifies the files a command reads, so that none is overwritten.
func Inputs(c *console.Console, path string) []os.FileInfo {
	if path != console.Stdin {
		if info, err := os.Stat(path); err == nil {
			return []os.FileInfo{info}
		}
		return nil
	}
	if f, ok := c.In.(*os.File); ok {
		if info, err := f.Stat(); err == nil {
			return []os.FileInfo{info}
		}
	}
	return nil
}
