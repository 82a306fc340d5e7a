package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/server/picture"
)

func TestPatternIsWellFormedAndTellsItsTable(t *testing.T) {
	var pans []equipment.Pan
	for i, g := range []float64{0.2, 0.9, 2.1, 3.6, 4.8, 5.6, 6.0, 6.1, 5.9, 5.4, 4.4, 3.2, 1.8, 0.7, 0.1} {
		pans = append(pans, equipment.Pan{At: unit.Length(2 * (i - 7)), Caught: unit.Mass(g / 1000)})
	}
	pans = append(pans[:5], pans[6:]...)
	for _, test := range []equipment.PanTest{{Pans: pans}, {Pans: pans, Swath: 21}, {Pans: pans, Limit: 0.001}} {
		s, err := test.Test()
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := picture.Pattern(&out, &s, unit.US); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(out.String(), "59.1 ft: ") {
			t.Error("the table does not tell the swath of 18 m")
		}
		if strings.Contains(out.String(), "NaN") || strings.Contains(out.String(), "%!") {
			t.Error("a number is none")
		}
		d := xml.NewDecoder(&out)
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
	}
}
