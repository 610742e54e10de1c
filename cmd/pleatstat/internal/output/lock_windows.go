package output

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
)

// What package syscall does not name, from the Windows headers.
const (
	deleteOnClose    = 0x04000000 // FILE_FLAG_DELETE_ON_CLOSE
	sharingViolation = syscall.Errno(32)
)

// lockIsInside says whether a lock is a file in the folder.
const lockIsInside = true

// tryLock locks a folder against other runs by a file that nobody else can open
// and that Windows deletes with the process, however it ends. errHeld: another
// run has it; any other error: the folder takes no such file.
func tryLock(dir string) (*os.File, error) {
	path := filepath.Join(dir, ".pleatstat-lock")
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	const shareNothing = 0
	h, err := syscall.CreateFile(name, syscall.GENERIC_WRITE, shareNothing, nil, syscall.OPEN_ALWAYS,
		syscall.FILE_ATTRIBUTE_HIDDEN|deleteOnClose, 0)
	if errors.Is(err, sharingViolation) {
		return nil, errHeld
	}
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(h), path), nil
}
