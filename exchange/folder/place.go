package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// put makes the folder beside its place, and then moves it there.
func put(dir string, files map[string][]byte) error {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	if err := mayReplace(dir); err != nil {
		return err
	}
	parent, base := filepath.Split(dir)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(parent, "."+base+".new-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(fresh) // nothing is left of it once it was moved
	if err := os.Chmod(fresh, 0o755); err != nil {
		return err
	}
	for name, data := range files {
		if err := putFile(filepath.Join(fresh, filepath.FromSlash(name)), data); err != nil {
			return err
		}
	}
	return swap(fresh, dir)
}

func putFile(name string, data []byte) (err error) {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.Write(data); err != nil {
		return err
	}
	return f.Sync()
}

// mayReplace refuses to replace a folder in which something lies that is no part of a season.
func mayReplace(dir string) error {
	info, err := os.Stat(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return fmt.Errorf("%s is a file; expected a new folder, or a season folder to replace", dir)
	}
	return filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		inside, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		inside = filepath.ToSlash(inside)
		switch {
		case d.IsDir() && (inside == "." || inside == weatherDir || inside == forecastDir):
			return nil
		case d.Type().IsRegular() && isOurs(inside):
			return nil
		default:
			return fmt.Errorf("%s holds %s, which is no part of a season and would be lost; choose a new folder", dir, inside)
		}
	})
}

// swap moves the fresh folder to its place. An old one is moved aside first and back again if that fails, so
// that at every moment one of the two is there whole, the old one for an instant under a name ending in
// .old.
func swap(fresh, dir string) error {
	old := fresh + ".old"
	err := os.Rename(dir, old)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	hadOld := err == nil
	if err := os.Rename(fresh, dir); err != nil {
		if hadOld {
			err = errors.Join(err, os.Rename(old, dir))
		}
		return err
	}
	return os.RemoveAll(old)
}
