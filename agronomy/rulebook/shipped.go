package rulebook

import "embed"

//go:embed books/*.yaml
var books embed.FS

// Shipped reads the books that come with Culm, in order of their keys. It reads them anew each time; keep what
// it returns. Units and worked examples are checked; that they answer throughout their ranges and keep their
// claims is left to the tests. An error means that a shipped book is wrong, which the tests exclude.
func Shipped() ([]*Book, error) {
	files, err := books.ReadDir("books")
	if err != nil {
		return nil, err
	}
	shipped := make([]*Book, 0, len(files))
	for _, f := range files {
		text, err := books.ReadFile("books/" + f.Name())
		if err != nil {
			return nil, err
		}
		b, err := parse(f.Name(), text, effort{})
		if err != nil {
			return nil, err
		}
		shipped = append(shipped, b)
	}
	return shipped, nil
}
