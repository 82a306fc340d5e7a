package folder

import (
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"culm/agronomy/rulebook"
	"culm/season"
)

// isBook says that a file of the folder is a rulebook of the advisor's own.
func isBook(name string) bool {
	dir, base := path.Split(name)
	ext := strings.ToLower(path.Ext(base))
	return dir == bookDir+"/" && (ext == ".yaml" || ext == ".yml") && !strings.HasPrefix(base, ".")
}

// Rulebooks reads a folder that holds nothing but rulebooks of an advisor's own, from disk, in the order of their
// files. Other files in it are passed over.
func Rulebooks(dir string) ([]*rulebook.Book, []season.Problem) {
	r := &report{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		r.wrong(0, "", "the folder of rulebooks cannot be read: "+reason(err).Error(), quoted(dir), "a folder with rulebooks, such as linden.yaml")
		return nil, r.all()
	}
	o := &opened{files: map[string]file{}}
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || info.IsDir() {
			continue
		}
		whole := filepath.Join(dir, e.Name())
		o.files[bookDir+"/"+e.Name()] = file{
			size: info.Size(), regular: info.Mode().IsRegular(),
			open: func() (io.ReadCloser, error) { return os.Open(whole) },
		}
	}
	var pages []page
	for _, name := range o.names() {
		if isBook(name) {
			pages = append(pages, o.page(name, nil))
		}
	}
	if twice := twoBooks(pages); len(twice.listed) > 0 {
		pages = append(pages, page{report: twice})
	}
	c, problems := bind(pages)
	return c.Books, problems
}

// readBook reads and checks a rulebook as culm rulebook check does.
func readBook(data []byte, r *report) *rulebook.Book {
	book, problems := rulebook.Read(r.file, data)
	for _, p := range problems {
		r.wrong(p.Line, p.Field, p.Text, "", "")
	}
	return book
}

// twoBooks refuses two rulebooks of one key: which of them answered would be chance.
func twoBooks(pages []page) *report {
	r := &report{}
	files := map[string]string{}
	for _, p := range pages {
		if p.book == nil {
			continue
		}
		if before, has := files[p.book.Key]; has {
			r.wrong(0, "key", "two rulebooks have one key", before+" and "+p.book.File+", both "+quoted(p.book.Key), "a key of its own for each")
		}
		files[p.book.Key] = p.book.File
	}
	return r
}
