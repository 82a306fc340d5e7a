// Package schema holds the JSON Schemas (draft 2020-12) of the formats that Culm reads, so that an editor or
// another program can check a file without Culm. They say what docs/formats.md and docs/rulebooks.md say in
// words. Where a schema and the program disagree, the program decides; tests keep the two together.
package schema

import (
	"embed"
	"io/fs"
)

//go:embed *.schema.json
var files embed.FS

// Files gives the schemas by name: season.schema.json, boundaries.schema.json, tables.schema.json,
// rulebook.schema.json, lab-mapping.schema.json.
func Files() fs.FS { return files }
