package folder

import (
	"bytes"
	"encoding/json"
	"errors"

	"culm/season"
)

// entriesFile holds, one entry a line in JSON, what does not stand in the tables: entries that were
// corrected, withdrawn or overtaken by a later one, and the rare entry that a table cannot hold. Nobody is
// expected to write it by hand; it is there so that a season can be moved without losing its past.
const entriesFile = "entries.jsonl"

// longestEntry bounds a line: the boundary of a large field with a detailed outline takes a few hundred
// kilobytes.
const longestEntry = 16 * mb

func readEntries(data []byte, _ string, _ *known, r *report) []made {
	var entries []made
	for line := 1; len(data) > 0; line++ {
		text, rest, _ := bytes.Cut(data, []byte{'\n'})
		data = rest
		text = bytes.TrimSpace(text)
		if len(text) == 0 {
			continue
		}
		if len(text) > longestEntry {
			r.wrong(line, "", "the line is too long for an entry", sized(int64(len(text))), "at most "+sized(longestEntry))
			continue
		}
		var e season.Entry
		if err := json.Unmarshal(text, &e); err != nil {
			expected := "an entry in JSON, as Culm writes it"
			if errors.Is(err, season.ErrNewer) {
				expected = "an entry of this or an earlier version"
			}
			r.wrong(line, "", "the entry cannot be read: "+err.Error(), "", expected)
			continue
		}
		e.Where = season.Where{File: r.file, Line: line}
		entries = append(entries, made{entry: e})
	}
	return entries
}

func writeEntries(entries []season.Entry) ([]byte, error) {
	var out []byte
	for _, e := range entries {
		e.Where = season.Where{} // where it will be read from
		line, err := e.MarshalJSON()
		if err != nil {
			return nil, err
		}
		out = append(append(out, line...), '\n')
	}
	return out, nil
}
