package advice

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
)

// compare walks two JSON documents side by side. Numbers are compared as they are written: the shortest
// form that reads back to the same float64 is the same exactly when the float64 is.
func (r *Replay) compare(then, now []byte) error {
	a, err := decode(then)
	if err != nil {
		return err
	}
	b, err := decode(now)
	if err != nil {
		return err
	}
	r.walk("", a, b)
	return nil
}

func decode(text []byte) (any, error) {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var v any
	err := dec.Decode(&v)
	return v, err
}

func (r *Replay) walk(path string, then, now any) {
	switch a := then.(type) {
	case map[string]any:
		if b, ok := now.(map[string]any); ok {
			r.walkObject(path, a, b)
			return
		}
	case []any:
		if b, ok := now.([]any); ok {
			r.walkList(path, a, b)
			return
		}
	}
	r.Compared++
	if t, n := written(then), written(now); t != n {
		r.Differences = append(r.Differences, Difference{Path: path, Then: t, Now: n})
	}
}

func (r *Replay) walkObject(path string, then, now map[string]any) {
	for _, k := range slices.Sorted(maps.Keys(both(then, now))) {
		below := k
		if path != "" {
			below = path + "." + k
		}
		r.walk(below, then[k], now[k])
	}
}

// walkList compares lists by position, except that things with an id are compared with their like.
func (r *Replay) walkList(path string, then, now []any) {
	if a, ok := byID(then); ok {
		if b, ok := byID(now); ok {
			for _, id := range slices.Sorted(maps.Keys(both(a, b))) {
				r.walk(path+"["+id+"]", a[id], b[id])
			}
			return
		}
	}
	for i := range max(len(then), len(now)) {
		r.walk(path+"["+strconv.Itoa(i)+"]", at(then, i), at(now, i))
	}
}

func byID(list []any) (map[string]any, bool) {
	found := make(map[string]any, len(list))
	for _, v := range list {
		o, _ := v.(map[string]any)
		id, ok := o["id"].(string)
		if !ok {
			return nil, false
		}
		found[id] = v
	}
	return found, true
}

// both gives the keys of either.
func both(a, b map[string]any) map[string]bool {
	keys := make(map[string]bool, len(a))
	for k := range a {
		keys[k] = true
	}
	for k := range b {
		keys[k] = true
	}
	return keys
}

func at(list []any, i int) any {
	if i < len(list) {
		return list[i]
	}
	return nil
}

func written(v any) string {
	if v == nil {
		return "nothing"
	}
	text, err := json.Marshal(v)
	if err != nil {
		return "unreadable"
	}
	return string(text)
}
