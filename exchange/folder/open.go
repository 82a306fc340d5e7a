package folder

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"culm/agronomy/rulebook"
)

// A folder comes from someone else: by mail, on a stick, in a zip. So its sizes are looked at before a byte
// is read, and a file never gives more bytes than it said it would.
const (
	mb = 1 << 20

	mostFiles       = 20_000
	mostBytes       = 1024 * mb // of a folder, or unpacked from a zip
	mostZipBytes    = 256 * mb
	mostZipRatio    = 200 // unpacked to packed; tables of weather pack ten- to thirtyfold
	smallEnoughFile = 1 * mb
)

// mostOf is the most bytes a file of the name may have.
func mostOf(name string) int64 {
	switch {
	case name == settingsFile:
		return 32 * mb
	case name == boundariesFile || name == entriesFile:
		return 256 * mb
	case isBook(name):
		return rulebook.MaxText
	case strings.Contains(name, "/"):
		return 16 * mb // one station
	default:
		return 128 * mb
	}
}

// file is a file of the folder that may be read.
type file struct {
	size    int64
	regular bool
	open    func() (io.ReadCloser, error)
}

// opened is a season folder, or a zip of one, with its files by name.
type opened struct {
	files map[string]file
	// close ends reading from a zip.
	close func() error
}

// names lists the files in order.
func (o *opened) names() []string { return slices.Sorted(maps.Keys(o.files)) }

// load reads a file, or reports why not.
func (o *opened) load(name string, r *report) ([]byte, bool) {
	f := o.files[name]
	most := mostOf(name)
	switch {
	case !f.regular:
		r.wrong(0, "", "this is not a plain file", "", "a plain file")
		return nil, false
	case f.size > most:
		r.wrong(0, "", "the file is too large to be read", sized(f.size), "at most "+sized(most))
		return nil, false
	}
	data, err := readWhole(f)
	if err != nil {
		r.wrong(0, "", "the file cannot be read: "+err.Error(), "", "a file that can be read")
		return nil, false
	}
	return data, true
}

func readWhole(f file) (data []byte, err error) {
	in, err := f.open()
	if err != nil {
		return nil, reason(err)
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	var buffer bytes.Buffer
	buffer.Grow(int(min(f.size, 4*mb)) + bytes.MinRead)
	n, err := buffer.ReadFrom(io.LimitReader(in, f.size+1))
	switch {
	case err != nil:
		return nil, reason(err)
	case n > f.size:
		return nil, fmt.Errorf("it holds more than the %s it is said to have", sized(f.size))
	}
	return buffer.Bytes(), nil
}

// reason is an error without the path, which may be that of this machine.
func reason(err error) error {
	var inPath *fs.PathError
	if errors.As(err, &inPath) {
		return inPath.Err
	}
	return err
}

func sized(n int64) string {
	switch {
	case n >= 1024*mb:
		return fmt.Sprintf("%.1f GB", float64(n)/(1024*mb))
	case n >= mb:
		return fmt.Sprintf("%.1f MB", float64(n)/mb)
	default:
		return fmt.Sprintf("%d bytes", n)
	}
}

// open finds a season folder, or a zip of one.
func open(fsys fs.FS, name string, r *report) *opened {
	info, err := fs.Stat(fsys, name)
	switch {
	case err != nil:
		r.wrong(0, "", "there is no season folder to read: "+reason(err).Error(), quoted(name), "a folder with a season.yaml in it, or a zip of one")
		return nil
	case info.IsDir():
		return openDir(fsys, name, r)
	case !info.Mode().IsRegular():
		r.wrong(0, "", "this is neither a folder nor a file", quoted(name), "a season folder or a zip of one")
		return nil
	default:
		return openZip(fsys, name, info.Size(), r)
	}
}

func openDir(fsys fs.FS, root string, r *report) *opened {
	o := &opened{files: map[string]file{}, close: func() error { return nil }}
	for _, dir := range []string{"", weatherDir, forecastDir, bookDir} {
		entries, err := fs.ReadDir(fsys, path.Join(root, dir))
		if errors.Is(err, fs.ErrNotExist) && dir != "" {
			continue
		}
		if err != nil {
			r.wrong(0, "", "the folder cannot be read: "+reason(err).Error(), quoted(dir), "a folder that can be read")
			continue
		}
		for _, e := range entries {
			name := path.Join(dir, e.Name())
			whole := path.Join(root, name)
			info, err := fs.Stat(fsys, whole) // follows a link, where the entry would describe the link itself
			if err != nil || info.IsDir() {
				continue
			}
			o.files[name] = file{
				size: info.Size(), regular: info.Mode().IsRegular(),
				open: func() (io.ReadCloser, error) { return fsys.Open(whole) },
			}
		}
	}
	if !o.withinBounds(r) {
		return nil
	}
	return o
}

// withinBounds refuses what is no season folder by its sheer size. Only files that Read would open count.
func (o *opened) withinBounds(r *report) bool {
	total := int64(0)
	for name, f := range o.files {
		if isOurs(name) && f.size <= mostOf(name) { // one too large is refused by itself
			total += f.size
		}
	}
	switch {
	case len(o.files) > mostFiles:
		r.wrong(0, "", "the folder holds too many files", fmt.Sprint(len(o.files)), fmt.Sprintf("at most %d", mostFiles))
	case total > mostBytes:
		r.wrong(0, "", "the folder is too large to be read", sized(total), "at most "+sized(mostBytes))
	default:
		return true
	}
	return false
}

func openZip(fsys fs.FS, name string, size int64, r *report) *opened {
	refuse := func(message, found, expected string) *opened {
		r.wrong(0, "", message, found, expected)
		return nil
	}
	if !strings.EqualFold(path.Ext(name), ".zip") {
		return refuse("this is neither a folder nor a zip", quoted(name), "a season folder, or a zip of one")
	}
	if size > mostZipBytes {
		return refuse("the zip is too large to be read", sized(size), "at most "+sized(mostZipBytes))
	}
	in, at, err := randomAccess(fsys, name, size)
	if err != nil {
		return refuse("the zip cannot be read: "+reason(err).Error(), "", "a zip that can be read")
	}
	archive, err := zip.NewReader(at, size)
	if err != nil {
		return refuse("the zip cannot be read: "+err.Error(), "", "a zip of a season folder")
	}
	o := &opened{files: map[string]file{}, close: in.Close}
	if !o.takeZip(archive, r) || !o.withinBounds(r) {
		_ = in.Close() // nothing was read from it
		return nil
	}
	return o
}

// randomAccess opens a file for reading anywhere in it, in memory where the file system knows no other way.
func randomAccess(fsys fs.FS, name string, size int64) (io.Closer, io.ReaderAt, error) {
	in, err := fsys.Open(name)
	if err != nil {
		return nil, nil, err
	}
	if at, ok := in.(io.ReaderAt); ok {
		return in, at, nil
	}
	data, err := readWhole(file{size: size, open: func() (io.ReadCloser, error) { return in, nil }})
	return io.NopCloser(nil), bytes.NewReader(data), err
}

// takeZip lists the files of a zip. Zips are mostly made of the folder itself, so its name comes first in all
// paths and is taken off.
func (o *opened) takeZip(archive *zip.Reader, r *report) bool {
	if len(archive.File) > mostFiles {
		r.wrong(0, "", "the zip holds too many files", fmt.Sprint(len(archive.File)), fmt.Sprintf("at most %d", mostFiles))
		return false
	}
	root := zipRoot(archive)
	total := uint64(0)
	for _, f := range archive.File {
		name, inRoot := strings.CutPrefix(slashed(f.Name), root)
		if !inRoot || f.FileInfo().IsDir() || strings.HasPrefix(slashed(f.Name), "__MACOSX/") {
			continue
		}
		total += f.UncompressedSize64
		tooDense := f.UncompressedSize64 > smallEnoughFile && f.UncompressedSize64/mostZipRatio > f.CompressedSize64
		_, twice := o.files[name]
		switch {
		case total > mostBytes || f.UncompressedSize64 > mostBytes || tooDense:
			r.wrong(0, "", "the zip would unpack to far more than it is", shown(f.Name)+", "+sized(int64(min(f.UncompressedSize64, 1<<62))),
				"at most "+sized(mostBytes)+" in all, and "+fmt.Sprint(mostZipRatio)+" times its packed size")
		case f.Flags&1 != 0:
			r.wrong(0, "", "the zip is encrypted", shown(f.Name), "a zip without password")
		case twice:
			r.wrong(0, "", "the zip holds two files of one name", shown(f.Name), "each file once")
		default:
			o.files[name] = file{size: int64(f.UncompressedSize64), regular: f.Mode().IsRegular(), open: f.Open}
			continue
		}
		return false
	}
	return true
}

// zipRoot is the folder inside the zip that holds season.yaml, with a slash at its end, or "".
func zipRoot(archive *zip.Reader) string {
	root, found := "", false
	for _, f := range archive.File {
		dir, base := path.Split(slashed(f.Name))
		if base == settingsFile && (!found || len(dir) < len(root)) {
			root, found = dir, true
		}
	}
	return root
}

// slashed corrects the paths of zips that were made with backslashes.
func slashed(name string) string { return strings.ReplaceAll(name, `\`, "/") }

// inMemory is a folder that was just made.
func inMemory(made map[string][]byte) *opened {
	o := &opened{files: map[string]file{}, close: func() error { return nil }}
	for name, data := range made {
		o.files[name] = file{
			size: int64(len(data)), regular: true,
			open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil },
		}
	}
	return o
}
