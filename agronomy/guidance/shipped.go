package guidance

// Shipped reads the books that come with Culm, in order of their keys. It reads them anew each time; keep what
// it returns. An error means that a shipped book is wrong, which the tests exclude.
func Shipped() ([]*Book, error) { return nil, nil }
