package season

import (
	"bytes"
	"encoding/json"
)

// SameContent says whether two bodies of one kind say the same thing, wherever it was read: the file, line
// and entry in the origins of their facts do not count. A row that only moved in its file has the same
// content.
func SameContent(a, b Body) (bool, error) {
	if a == nil || b == nil || a.Kind() != b.Kind() {
		return a == nil && b == nil, nil
	}
	left, err := content(a)
	if err != nil {
		return false, err
	}
	right, err := content(b)
	if err != nil {
		return false, err
	}
	return bytes.Equal(left, right), nil
}

// content is the body's JSON with its members sorted and its places in files taken out.
func content(b Body) ([]byte, error) {
	w, err := WriteBody(b)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(w.JSON))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		return nil, plain(err)
	}
	forgetPlaces(v)
	return json.Marshal([]any{w.Version, w.Subject, v})
}

func forgetPlaces(v any) {
	switch v := v.(type) {
	case map[string]any:
		if origin, ok := v["origin"].(map[string]any); ok {
			delete(origin, "where")
			delete(origin, "entry")
		}
		for _, part := range v {
			forgetPlaces(part)
		}
	case []any:
		for _, part := range v {
			forgetPlaces(part)
		}
	}
}
