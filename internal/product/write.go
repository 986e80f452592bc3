package product

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

const (
	lockPatience = 30 * time.Second
	lockRetry    = 3 * time.Millisecond
)

// lock keeps every other writer out of a folder until unlock is called. The folder
// itself is locked, so that no file is left behind; where a system cannot lock a
// folder, a file .lock in it is.
func lock(dir string) (unlock func(), err error) {
	ctx, cancel := context.WithTimeout(context.Background(), lockPatience)
	defer cancel()
	l := flock.New(dir, flock.SetFlag(os.O_RDONLY))
	got, err := l.TryLockContext(ctx, lockRetry)
	if err != nil && ctx.Err() == nil {
		l = flock.New(filepath.Join(dir, ".lock"))
		got, err = l.TryLockContext(ctx, lockRetry)
	}
	switch {
	case ctx.Err() != nil:
		return nil, Errors{{File: dir, Problem: "another process has been writing to the folder for 30 s", Want: "end it, or try again"}}
	case err != nil || !got:
		return nil, Errors{{File: dir, Problem: "cannot be locked for writing", Want: "want a folder that may be written to"}}
	}
	return func() { _ = l.Close() }, nil
}

// replaceFile gives a file a new content at once: whoever reads it, and whatever
// happens meanwhile, the old or the new content is there, whole. When it returns nil
// the new content is on the disk. The folder must be locked.
func replaceFile(root *os.Root, name string, data []byte) error {
	name, err := behindLinks(root, name)
	if err != nil {
		return err
	}
	mode := fs.FileMode(0o644)
	if info, err := root.Stat(name); err == nil {
		mode = info.Mode().Perm()
	}
	if err := makeFolder(root, path.Dir(name)); err != nil {
		return err
	}
	draft := path.Join(path.Dir(name), "."+path.Base(name)+".new")
	if err := root.Remove(draft); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err // left by a process that was killed, and cannot be cleared away
	}
	if err := writeSynced(root, draft, data, mode); err != nil {
		_ = root.Remove(draft)
		return err
	}
	if err := root.Rename(draft, name); err != nil {
		_ = root.Remove(draft)
		return err
	}
	return syncFolder(root, path.Dir(name))
}

// makeFolder makes a folder that is not there yet, and lets it last through a loss of power.
func makeFolder(root *os.Root, dir string) error {
	if _, err := root.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := makeFolder(root, path.Dir(dir)); err != nil {
		return err
	}
	if err := root.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return syncFolder(root, path.Dir(dir))
}

func writeSynced(root *os.Root, name string, data []byte, mode fs.FileMode) error {
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// syncFolder makes a rename last through a loss of power.
func syncFolder(root *os.Root, dir string) error {
	if runtime.GOOS == "windows" {
		return nil // a folder cannot be synced there
	}
	f, err := root.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// behindLinks returns the file that a chain of symbolic links within the folder leads to.
func behindLinks(root *os.Root, name string) (string, error) {
	const longest = 8
	for range longest {
		info, err := root.Lstat(name)
		if errors.Is(err, fs.ErrNotExist) {
			return name, nil
		}
		if err != nil {
			return "", err
		}
		if info.Mode()&fs.ModeSymlink == 0 {
			return name, nil
		}
		to, err := root.Readlink(name)
		if err != nil {
			return "", err
		}
		name = path.Join(path.Dir(name), filepath.ToSlash(to))
		if path.IsAbs(filepath.ToSlash(to)) || strings.HasPrefix(name, "..") {
			return "", errors.New("leads out of the folder")
		}
	}
	return "", errors.New("too many symbolic links")
}

// unwritten says why a file was not written.
func unwritten(name string, err error) Errors {
	why := err.Error()
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		why = at.Err.Error()
	case errors.As(err, &link):
		why = link.Err.Error()
	}
	return Errors{{File: name, Problem: fmt.Sprintf("could not be written: %s", why), Want: "the file is as it was"}}
}
