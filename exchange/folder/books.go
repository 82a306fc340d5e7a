package folder

import (
	"path"
	"strings"

	"culm/agronomy/guidance"
)

// isBook says that a file of the folder is a rulebook of the advisor's own.
func isBook(name string) bool {
	dir, base := path.Split(name)
	ext := strings.ToLower(path.Ext(base))
	return dir == bookDir+"/" && (ext == ".yaml" || ext == ".yml") && !strings.HasPrefix(base, ".")
}

// readBook reads and checks a rulebook as culm rulebook check does.
func readBook(data []byte, r *report) *guidance.Book {
	book, problems := guidance.Read(r.file, data)
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
