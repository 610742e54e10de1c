//go:build unix

package output

import (
	"errors"
	"os"
	"syscall"
)

// lockIsInside says whether a lock is a file in the folder.
const lockIsInside = false

// tryLock locks a folder against other runs without leaving anything in it.
// errHeld: another run has it; any other error: this file system has no locks.
func tryLock(dir string) (*os.File, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	for err = syscall.EINTR; errors.Is(err, syscall.EINTR); {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	}
	if err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, errHeld
		}
		return nil, err
	}
	// A run that failed may have removed the folder it had made.
	locked, err := f.Stat()
	if now, errNow := os.Stat(dir); err != nil || errNow != nil || !os.SameFile(locked, now) {
		f.Close()
		if err := os.MkdirAll(dir, 0o777); err != nil {
			return nil, err
		}
		return nil, errHeld
	}
	return f, nil
}
