package rulebook

import "embed"

//go:embed books/*.yaml
var books embed.FS

// Shipped reads the books that come with Culm, in the order in which their answers stand side by side. It
// reads them anew each time; keep what it returns. An error means that a shipped book is wrong, which the
// tests exclude.
func Shipped() ([]Book, error) {
	names := [...]string{
		"in-season-2005", "in-season-2001", "strip-ramp",
		"kansas-2003", "minnesota", "montana", "ohio-974", "washington-eb1987", "nebraska-ec143",
		"canola-plains", "canola-montana", "canola-green-area",
	}
	shipped := make([]Book, 0, len(names))
	for _, name := range names {
		text, err := books.ReadFile("books/" + name + ".yaml")
		if err != nil {
			return nil, err
		}
		b, err := Parse(name+".yaml", text)
		if err != nil {
			return nil, err
		}
		shipped = append(shipped, b)
	}
	return shipped, nil
}
