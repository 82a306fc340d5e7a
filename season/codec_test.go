package season_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func ExampleEntry_MarshalJSON() {
	e := season.Entry{
		ID: "01", Recorded: time.Date(2027, 2, 10, 9, 30, 0, 0, time.FixedZone("", -6*3600)), Writer: "office",
		Observed: calendar.Date(2027, 2, 9), Where: season.Where{File: "soil.csv", Line: 4},
		Body: &season.Soil{
			Sample: "S1", Field: "north-40", Day: calendar.Date(2027, 2, 9), Bottom: 24 * unit.Inch,
			Results: []season.Result{{Analyte: season.NitrateN, Value: 7.5}},
		},
	}
	written, err := json.Marshal(e)
	fmt.Println(string(written), err)
	// Output:
	// {"format":"culm.entry/1","id":"01","observed":"2027-02-09","recorded":"2027-02-10T15:30:00Z","writer":"office","where":{"file":"soil.csv","line":4},"kind":"soil","version":2,"subject":"north-40/S1/2027-02-09/0","body":{"sample":"S1","field":"north-40","day":"2027-02-09","top":0,"bottom":0.6095999999999999,"results":[{"analyte":"nitrate-n","value":7.5}]}} <nil>
}

// kinds are the kinds declared in entry.go, so that none can be forgotten in the codec.
func kinds(t testing.TB) []season.Kind {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "entry.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []season.Kind
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || len(spec.Names) != 1 || !strings.HasPrefix(spec.Names[0].Name, "Kind") {
			return true
		}
		name, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		if err != nil {
			t.Fatal(err)
		}
		kinds = append(kinds, season.Kind(name))
		return true
	})
	if len(kinds) < 16 {
		t.Fatalf("found only %d kinds in entry.go", len(kinds))
	}
	return kinds
}

// bodies has one empty body of every type, by kind.
func bodies() map[season.Kind]season.Body {
	byKind := map[season.Kind]season.Body{}
	for _, b := range []season.Body{
		&season.Settings{}, &season.Producer{}, &season.Field{}, &season.Boundary{}, &season.Readings{}, &season.Ramp{},
		&season.Visit{}, &season.Soil{}, &season.Spot{}, &season.Applied{}, &season.Harvest{}, &season.Station{},
		&season.Weather{}, &season.Forecast{}, &season.Price{}, &season.Trial{}, &season.Rig{},
	} {
		byKind[b.Kind()] = b
	}
	return byKind
}

// fill gives every part of a body some value that the body may hold.
func fill(t *rapid.T, v reflect.Value, name string) {
	switch v.Interface().(type) {
	case calendar.Day:
		v.Set(reflect.ValueOf(calendar.Date(2027, 1, rapid.IntRange(1, 400).Draw(t, name))))
		return
	case time.Time:
		seconds := rapid.Int64Range(0, 4e9).Draw(t, name)
		v.Set(reflect.ValueOf(time.Unix(seconds, rapid.Int64Range(0, 999_999_999).Draw(t, "ns")).UTC()))
		return
	case season.Hours:
		v.Set(reflect.ValueOf(someHours(t)))
		return
	}
	if v.Type() == reflect.TypeFor[working.Origin]() && name == "Price.Origin" {
		return // filled by Assemble, never written
	}
	if strings.HasPrefix(v.Type().Name(), "Fact[") && !rapid.Bool().Draw(t, name+" is known") {
		return // a fact that is not known has no value
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.StringMatching(`[a-zé<&"\\ -]{1,6}[a-z]`).Draw(t, name))
	case reflect.Float64:
		v.SetFloat(rapid.Float64().Filter(func(f float64) bool { return !math.Signbit(f) || f != 0 }).Draw(t, name))
	case reflect.Int:
		v.SetInt(rapid.Int64Range(1, 12).Draw(t, name))
	case reflect.Uint8:
		v.SetUint(uint64(rapid.Uint8().Draw(t, name)))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, name))
	case reflect.Pointer:
		if rapid.Bool().Draw(t, name+" is there") {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, v.Elem(), name)
		}
	case reflect.Slice:
		for i := range rapid.IntRange(0, 3).Draw(t, name+" length") {
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			fill(t, v.Index(i), name)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), v.Type().Name()+"."+v.Type().Field(i).Name)
		}
	default:
		t.Fatalf("%s is of a kind this test does not fill: %v", name, v.Type())
	}
}

// someHours are hours as they may be: one after the other, with zeros where nothing is given.
func someHours(t *rapid.T) season.Hours {
	var hours season.Hours
	start := time.Unix(3600*rapid.Int64Range(0, 1e6).Draw(t, "first hour"), 0).UTC()
	part := func(has bool) float64 {
		if !has {
			return 0
		}
		return rapid.Float64().Draw(t, "value")
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "hours") {
		has := season.HourParts(rapid.IntRange(0, 127).Draw(t, "has"))
		given := func(p season.HourParts) float64 { return part(has&p != 0) }
		hours = append(hours, season.Hour{
			At: start.Add(time.Duration(i) * time.Hour), Ahead: rapid.IntRange(-720, 840).Draw(t, "ahead"), Has: has,
			Temperature: unit.Temperature(given(season.HourTemperature)), Humidity: unit.Fraction(given(season.HourHumidity)),
			Wind: unit.Speed(given(season.HourWind)), Gust: unit.Speed(given(season.HourGust)),
			Cloud: unit.Fraction(given(season.HourCloud)), Rain: unit.Water(given(season.HourRain)),
			RainChance: unit.Fraction(given(season.HourRainChance)),
		})
	}
	return hours
}

func entryOf(t *rapid.T, b season.Body) season.Entry {
	e := season.Entry{ID: "id-1", Writer: "phone 3", Body: b}
	fill(t, reflect.ValueOf(&e.Recorded).Elem(), "recorded")
	fill(t, reflect.ValueOf(&e.Where).Elem(), "where")
	fill(t, reflect.ValueOf(&e.Observed).Elem(), "observed")
	if rapid.Bool().Draw(t, "corrects") {
		e.Supersedes = "id-0"
		e.Withdrawn = rapid.Bool().Draw(t, "withdrawn")
	}
	return e
}

func TestEveryKindReadsBackAsWritten(t *testing.T) {
	byKind := bodies()
	for _, kind := range kinds(t) {
		t.Run(string(kind), func(t *testing.T) {
			if byKind[kind] == nil {
				t.Fatalf("no body type of kind %q in this test", kind)
			}
			rapid.Check(t, func(t *rapid.T) {
				body := reflect.New(reflect.TypeOf(byKind[kind]).Elem())
				fill(t, body.Elem(), string(kind))
				want := entryOf(t, body.Interface().(season.Body))
				written, err := json.Marshal(want)
				if err != nil {
					t.Fatal(err)
				}
				var got season.Entry
				if err := json.Unmarshal(written, &got); err != nil {
					t.Fatalf("%v\n%s", err, written)
				}
				if diff := cmp.Diff(want, got, cmp.AllowUnexported(calendar.Day{})); diff != "" {
					t.Fatalf("reads back differently:\n%s", diff)
				}
				if same, err := season.SameContent(want.Body, got.Body); !same || err != nil {
					t.Fatalf("content differs from itself: %v", err)
				}
			})
		})
	}
}

func TestOtherOrderAndWhiteSpaceAreTheSameEntry(t *testing.T) {
	const byHand = ` { "body": {"name":"Ash Farm", "id":"ash"}, "writer":"office", "version": 1, "kind":"producer",
		"recorded":"2027-02-10T09:00:00.000-06:00", "id":"7", "format":"culm.entry/1" } `
	var got season.Entry
	if err := json.Unmarshal([]byte(byHand), &got); err != nil {
		t.Fatal(err)
	}
	want := season.Entry{
		ID: "7", Writer: "office", Recorded: time.Date(2027, 2, 10, 15, 0, 0, 0, time.UTC),
		Body: &season.Producer{ID: "ash", Name: "Ash Farm"},
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(calendar.Day{})); diff != "" {
		t.Error(diff)
	}
}

func TestAWithdrawalMayBeWithoutABody(t *testing.T) {
	want := season.Entry{ID: "8", Supersedes: "7", Withdrawn: true, Writer: "office", Recorded: at(10)}
	written, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got season.Entry
	if err := json.Unmarshal(written, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(calendar.Day{})); diff != "" {
		t.Error(diff)
	}
}

// around puts a body into an otherwise right entry.
func around(kind string, version int, body string) string {
	return fmt.Sprintf(`{"format":"culm.entry/1","id":"9","recorded":"2027-02-10T09:00:00Z","writer":"office",`+
		`"kind":%q,"version":%d,"body":%s}`, kind, version, body)
}

const soilBody = `{"sample":"S1","field":"f","day":"2027-02-09","top":0,"bottom":0.6,"results":[{"analyte":"ph","value":6.1}]}`

func TestMalformedEntriesAreRefusedInWords(t *testing.T) {
	for _, row := range []struct{ name, json, says string }{
		{"not JSON", `{"format":`, "is not JSON"},
		{"empty", ``, "JSON"},
		{"null", `null`, "this is not an entry"},
		{"another file", `{"type":"FeatureCollection"}`, `its format is "", expected "culm.entry/1"`},
		{"format without a number", `{"format":"culm.entry/one"}`, "this is not an entry"},
		{"unknown member", `{"format":"culm.entry/1","id":"1","recorded":"2027-02-10T09:00:00Z","writer":"w","colour":"red"}`, `it has "colour"; expected one of body, format`},
		{"member twice", `{"format":"culm.entry/1","id":"1","id":"2","recorded":"2027-02-10T09:00:00Z","writer":"w"}`, `it has "id" twice`},
		{"member in capitals", `{"format":"culm.entry/1","ID":"1","recorded":"2027-02-10T09:00:00Z","writer":"w"}`, `it has "ID"`},
		{"no writer", `{"format":"culm.entry/1","id":"1","recorded":"2027-02-10T09:00:00Z"}`, `it has no "writer"`},
		{"empty writer", `{"format":"culm.entry/1","id":"1","recorded":"2027-02-10T09:00:00Z","writer":"","supersedes":"0","withdrawn":true}`, "writer is missing"},
		{"no body", `{"format":"culm.entry/1","id":"1","recorded":"2027-02-10T09:00:00Z","writer":"w"}`, "body is missing"},
		{"a moment in words", `{"format":"culm.entry/1","id":"1","recorded":"yesterday","writer":"w"}`, `"yesterday" is not a moment`},
		{"supersedes itself", `{"format":"culm.entry/1","id":"1","supersedes":"1","withdrawn":true,"recorded":"2027-02-10T09:00:00Z","writer":"w"}`, "supersedes itself"},
		{"withdraws nothing", `{"format":"culm.entry/1","id":"1","withdrawn":true,"recorded":"2027-02-10T09:00:00Z","writer":"w"}`, "withdraws nothing"},
		{"line break in the id", `{"format":"culm.entry/1","id":"1\n2","supersedes":"0","withdrawn":true,"recorded":"2027-02-10T09:00:00Z","writer":"w"}`, "readable text"},
		{"body without a kind", around("", 1, soilBody), "kind is missing"},
		{"kind without a body", around("soil", 1, `null`), "null"},
		{"body without a version", around("soil", 0, soilBody), "version is 0"},
		{"body is a list", around("soil", 1, `[]`), "expected an object in braces"},
		{"body has an unknown member", around("soil", 1, strings.Replace(soilBody, `"top"`, `"deep":1,"top"`, 1)), `has "deep"`},
		{"a number is missing", around("soil", 1, strings.Replace(soilBody, `,"value":6.1`, ``, 1)), `results[0] has no "value"`},
		{"a number is null", around("soil", 1, strings.Replace(soilBody, `6.1`, `null`, 1)), `results[0].value is null`},
		{"a number is text", around("soil", 1, strings.Replace(soilBody, `6.1`, `"6.1"`, 1)), `results.value is a string; expected a finite number`},
		{"a number too large", around("soil", 1, strings.Replace(soilBody, `6.1`, `1e999`, 1)), `expected a finite number`},
		{"a date is a number", around("soil", 1, strings.Replace(soilBody, `"2027-02-09"`, `20270209`, 1)), `day is a number; expected text`},
		{"a date of another country", around("soil", 1, strings.Replace(soilBody, `2027-02-09`, `09.02.2027`, 1)), `not a date`},
		{"field is empty", around("soil", 1, strings.Replace(soilBody, `"f"`, `""`, 1)), "does not say what it speaks of"},
		{"subject of something else", strings.Replace(around("soil", 1, soilBody), `"version"`, `"subject":"g/S1/0","version"`, 1), `speaks of "f/S1/0"`},
		{"a sample without its day", strings.Replace(around("soil", 2, soilBody), `"version"`, `"subject":"f/S1/0","version"`, 1), `speaks of "f/S1/2027-02-09/0"`},
		{"unknown kind without a subject", around("drone", 1, `{}`), "subject is missing"},
		{"not UTF-8", strings.Replace(around("soil", 1, soilBody), "S1", "S\xe9", 1), "UTF-8"},
		{"something after the end", around("soil", 1, soilBody) + "{}", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			var e season.Entry
			err := json.Unmarshal([]byte(row.json), &e)
			if err == nil {
				t.Fatalf("read as %+v, want an error", e)
			}
			direct := e.UnmarshalJSON([]byte(row.json))
			if direct == nil || !strings.Contains(direct.Error(), row.says) {
				t.Errorf("error is %q, want it to say %q", direct, row.says)
			}
		})
	}
}

func TestWhatJSONCannotHoldIsNotWritten(t *testing.T) {
	for name, body := range map[string]season.Body{
		"no number":   &season.Harvest{Field: "f", Part: "field", Yield: unit.Yield(math.NaN())},
		"infinite":    &season.Harvest{Field: "f", Part: "field", Yield: unit.Yield(math.Inf(1))},
		"not UTF-8":   &season.Harvest{Field: "f", Part: "field", Note: "gr\xfcn"},
		"no field":    &season.Harvest{Part: "field"},
		"no producer": &season.Producer{Name: "Ash Farm"},
	} {
		t.Run(name, func(t *testing.T) {
			if w, err := season.WriteBody(body); err == nil {
				t.Errorf("written as %s, want an error", w.JSON)
			}
		})
	}
	// The replacement character itself is text like any other, and so is a backslash before "ufffd".
	for _, note := range []string{"\ufffd", `\ufffd`, `\\ufffd`} {
		if _, err := season.WriteBody(&season.Harvest{Field: "f", Part: "field", Note: note}); err != nil {
			t.Errorf("note %q: %v", note, err)
		}
	}
}

// A notebook shared with a later version of the program passes through this one unharmed.
func TestEntriesOfALaterVersionAreKeptWhole(t *testing.T) {
	for name, written := range map[string]string{
		"unknown kind":          `{"format":"culm.entry/1","id":"9","recorded":"2027-02-10T09:00:00Z","writer":"office","kind":"drone","version":3,"subject":"f/1","body":{"z":1.00,"a":12345678901234567890,"field":"f","b":null,"c":"ü\u0026"}}`,
		"later shape of a kind": `{"format":"culm.entry/1","id":"9","recorded":"2027-02-10T09:00:00Z","writer":"office","kind":"soil","version":3,"subject":"f/S1/0","body":{"field":"f","depths":[0,15]}}`,
	} {
		t.Run(name, func(t *testing.T) {
			var e season.Entry
			if err := json.Unmarshal([]byte(written), &e); err != nil {
				t.Fatal(err)
			}
			if season.FieldOf(e.Body) != "f" {
				t.Errorf("field is %q, want f", season.FieldOf(e.Body))
			}
			again, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			if string(again) != written {
				t.Errorf("written again as\n%s\nwas\n%s", again, written)
			}
			if unread := season.Unread([]season.Entry{e}); len(unread) != 1 {
				t.Errorf("unread: %v, want one problem", unread)
			}
		})
	}
}

func TestALaterShapeSupersedesWhatIsKnown(t *testing.T) {
	var later season.Entry
	err := json.Unmarshal([]byte(`{"format":"culm.entry/1","id":"9","supersedes":"1","recorded":"2027-02-10T09:00:00Z",`+
		`"writer":"office","kind":"field","version":9,"subject":"f","body":{}}`), &later)
	if err != nil {
		t.Fatal(err)
	}
	s := season.Assemble([]season.Entry{field("f", "1", 1), later})
	if len(s.Fields) != 0 {
		t.Errorf("fields %+v: the superseded entry must not stand again because its correction cannot be read", s.Fields)
	}
}

func TestALaterFormatIsCalledLater(t *testing.T) {
	var e season.Entry
	err := e.UnmarshalJSON([]byte(`{"format":"culm.entry/2","anything":1}`))
	if !errors.Is(err, season.ErrNewer) {
		t.Errorf("error is %v, want ErrNewer", err)
	}
}

func TestKnownBodiesCannotHideAsOpaque(t *testing.T) {
	hidden := &season.Opaque{Written: season.WrittenBody{Kind: season.KindSoil, Version: 1, Subject: "f", JSON: []byte(`{}`)}}
	if _, err := season.WriteBody(hidden); err == nil {
		t.Error("a body of a known shape was written unread")
	}
}

func TestContentIgnoresOnlyThePlaceInAFile(t *testing.T) {
	goal := func(bushels float64, line, by string) season.Body {
		return &season.Field{ID: "f", YieldGoal: working.Fact[unit.Yield]{
			Value:  unit.Yield(bushels) * unit.WheatBushelPerAcre,
			Origin: working.Origin{Kind: working.Setting, By: by, Where: line, Entry: line},
		}}
	}
	for _, row := range []struct {
		name string
		a, b season.Body
		same bool
	}{
		{"moved two lines down", goal(50, "fields.csv:2", "office"), goal(50, "fields.csv:4", "office"), true},
		{"another goal", goal(50, "fields.csv:2", "office"), goal(55, "fields.csv:2", "office"), false},
		{"said by another", goal(50, "fields.csv:2", "office"), goal(50, "fields.csv:2", "producer"), false},
		{"another kind", goal(50, "", ""), &season.Producer{ID: "f"}, false},
		{"price with its origin filled in", &season.Price{Item: "wheat"}, &season.Price{Item: "wheat", Origin: working.Origin{Kind: working.Setting}}, true},
	} {
		if same, err := season.SameContent(row.a, row.b); same != row.same || err != nil {
			t.Errorf("%s: same %v, %v; want %v", row.name, same, err, row.same)
		}
	}
}

// In its first shape a sample took the place of every earlier one under its id, so that the day was not in its
// subject. Such entries are read, and are told apart by day from then on.
func TestSamplesOfTheFirstShapeAreToldApartByDay(t *testing.T) {
	read := func(id, day string) season.Entry {
		written := strings.NewReplacer(`"9"`, `"`+id+`"`, `"version"`, `"subject":"f/S1/0","version"`, "2027-02-09", day).Replace(around("soil", 1, soilBody))
		var e season.Entry
		if err := json.Unmarshal([]byte(written), &e); err != nil {
			t.Fatal(err)
		}
		return e
	}
	september, february := read("1", "2026-09-10"), read("2", "2027-02-10")
	if got := season.Subjects(september.Body); !slices.Equal(got, []string{"f/S1/2026-09-10/0", "f/S1/0"}) {
		t.Errorf("subjects %q", got)
	}
	if got := season.Assemble([]season.Entry{september, february}).Soils["f"]; len(got) != 2 || got[0].Day.String() != "2026-09-10" {
		t.Errorf("%d samples stand, want September's and February's", len(got))
	}
}

func FuzzEntry(f *testing.F) {
	f.Add([]byte(around("soil", 1, soilBody)))
	f.Add([]byte(around("soil", 9, soilBody)))
	f.Add([]byte(around("producer", 1, `{"id":"ash","name":"Ash \ufffd \u2028 \\ufffd"}`)))
	f.Add([]byte(`{"format":"culm.entry/1","id":"9","recorded":"2027-02-10T09:00:00Z","writer":"w","kind":"x","version":1,"subject":"s","body":{"a":[[{"b":1e400}]]}}`))
	f.Add([]byte(`{"format":"culm.entry/1","id":"9","supersedes":"8","withdrawn":true,"recorded":"2027-02-10T09:00:00Z","writer":"w"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var e season.Entry
		if e.UnmarshalJSON(data) != nil {
			return
		}
		once, err := json.Marshal(e)
		if err != nil {
			t.Fatalf("read but cannot be written: %v", err)
		}
		var again season.Entry
		if err := json.Unmarshal(once, &again); err != nil {
			t.Fatalf("written but cannot be read: %v\n%s", err, once)
		}
		twice, err := json.Marshal(again)
		if err != nil || string(once) != string(twice) {
			t.Fatalf("%v: written first as\n%s\nthen as\n%s", err, once, twice)
		}
	})
}
