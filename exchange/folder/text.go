package folder

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
)

// decode gives a file's text in UTF-8 without byte order mark. Spreadsheets save UTF-16 as "Unicode text";
// its byte order mark tells. What is neither is reported and refused: guessing at a code page would turn
// names into other names.
func decode(data []byte, r *report) ([]byte, bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		utf8Data, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil {
			r.wrong(1, "", "the file is not readable as UTF-16 text", err.Error(), "text in UTF-8")
			return nil, false
		}
		data = utf8Data
	}
	if len(bytes.TrimSpace(data)) == 0 {
		r.wrong(1, "", "the file is empty", "", "something to read; take the file out of the folder if there is nothing to say")
		return nil, false
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		r.wrong(lineAt(data, i), "", "the file holds zero bytes, so it is not plain text", "a zero byte", "text in UTF-8, saved as CSV or plain text")
		return nil, false
	}
	if i := notUTF8(data); i >= 0 {
		r.wrong(lineAt(data, i), "", "the file is not in UTF-8", fmt.Sprintf("byte 0x%02X", data[i]), "text in UTF-8; save it as \"CSV UTF-8\"")
		return nil, false
	}
	return data, true
}

// notUTF8 is the place of the first byte that is not UTF-8, or -1.
func notUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; i < len(data); {
		c, size := utf8.DecodeRune(data[i:])
		if c == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// lineAt is the line, from 1, of a byte.
func lineAt(data []byte, at int) int { return 1 + lineEnds(data[:at]) }
