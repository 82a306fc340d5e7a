package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/server/picture"
)

func TestTheLineBetweenFansAndStreams(t *testing.T) {
	never := []placement.Point{{Price: 0.5, Never: true}, {Price: 1, Never: true}}
	falling := []placement.Point{{Price: 0.5, Never: true}, {Price: 1, Residue: 0.8}, {Price: 2, Residue: 0.4}}
	for _, curve := range [][]placement.Point{never, falling} {
		for _, price := range []unit.PricePerMass{0.1, 1, 9} {
			var out bytes.Buffer
			if err := picture.BreakEven(&out, "Where streams pay & not", curve, price, 0.3, unit.Metric); err != nil {
				t.Fatal(err)
			}
			if text := out.String(); strings.Contains(text, "NaN") || strings.Contains(text, "%!") || !strings.Contains(text, "never") {
				t.Errorf("drawn as\n%s", text)
			}
			for d := xml.NewDecoder(&out); ; {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	if err := picture.BreakEven(io.Discard, "", nil, 1, 0.3, unit.US); err == nil {
		t.Error("a line was drawn of no points")
	}
}
