// Package folder reads and writes a season as a plain folder that a person can keep with a spreadsheet and a
// text editor: season.yaml, boundaries.geojson, tables as CSV, weather and forecast by station. The form is
// described, with examples, in docs/formats.md.
//
// Three things are promised. Everything wrong with a folder is reported in one go, each problem with its file
// and line, what was found and what was expected. Whatever Write writes, Read gives back the same, to the
// last bit. And a folder that comes from somebody else can do no harm: sizes are looked at before bytes are
// read, nothing is unfolded, nothing outside the folder is touched.
//
// Each table is one list of columns, and each column knows both ways: how a cell becomes a value and how the
// value is written. So a column cannot be written in a form that is not read. What rows say together is not
// looked at here but by season.Check, which every door uses; Content.Check adds the lines of the files.
package folder
