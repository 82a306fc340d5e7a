package online

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"culm/exchange/nws"
	"culm/season"
)

// NWSAddress is where the US National Weather Service answers.
const NWSAddress = "https://api.weather.gov"

// ShelfLife is how long after its issue a forecast is handed on. Common practice, no source; the advice gives
// up on it at the same age.
const ShelfLife = 3 * 24 * time.Hour

// ErrExpired says that the newest forecast to be had was issued too long ago.
var ErrExpired = errors.New("the forecast has expired")

// NWS gets grid forecasts of the US National Weather Service.
type NWS struct {
	Base string // NWSAddress, or a loopback address in tests
	Get  Getter
	Now  func() time.Time
}

// Grid is a grid forecast as it came, and what the service says of the place.
type Grid struct {
	Document
	Issued time.Time
	By     string // the office and the grid square
	Zone   string // time zone of the place
}

// geoJSON is the media type that both kinds of reply have.
const geoJSON = "application/geo+json"

// square is a square of the service's grid.
type square struct {
	office string
	x, y   int
	zone   string
}

// Forecast gets the grid forecast for a place: first which square of the grid it lies in, then the square's
// forecast. It fails with ErrExpired where the newest to be had is older than ShelfLife.
func (n NWS) Forecast(ctx context.Context, at season.Position) (Grid, error) {
	base := strings.TrimRight(n.Base, "/")
	found, err := n.Get.Get(ctx, Request{
		URL: base + "/points/" + degrees(at.Lat) + "," + degrees(at.Lon), Accept: geoJSON,
		Check: func(body []byte) error { _, err := readSquare(body); return err },
	})
	if err != nil {
		return Grid{}, fmt.Errorf("finding the grid square: %w", err)
	}
	sq, err := readSquare(found.Body)
	if err != nil {
		return Grid{}, err
	}
	// The address is put together here rather than taken from the reply, so that no reply can send the request
	// anywhere else.
	got, err := n.Get.Get(ctx, Request{
		URL: fmt.Sprintf("%s/gridpoints/%s/%d,%d", base, sq.office, sq.x, sq.y), Accept: geoJSON,
		Check: func(body []byte) error { _, err := readGrid(body); return err },
	})
	if err != nil {
		return Grid{}, fmt.Errorf("fetching the forecast: %w", err)
	}
	f, err := readGrid(got.Body)
	if err != nil {
		return Grid{}, err
	}
	if age := n.Now().Sub(f.Issued); age > ShelfLife {
		return Grid{}, fmt.Errorf("%w: it was issued %s ago, on %s; expected at most %s%s", ErrExpired, spoken(age), f.Issued.UTC().Format("2006-01-02"), spoken(ShelfLife), note(got.Note))
	}
	return Grid{Document: got, Issued: f.Issued, By: f.By, Zone: sq.zone}, nil
}

func note(text string) string {
	if text == "" {
		return ""
	}
	return "; " + text
}

// degrees writes at most four decimals and no zero at the end, as the service wants it.
func degrees(v float64) string {
	text := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 4, 64), "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

func readSquare(body []byte) (square, error) {
	var file struct {
		Properties struct {
			GridID   string          `json:"gridId"`
			GridX    json.RawMessage `json:"gridX"`
			GridY    json.RawMessage `json:"gridY"`
			TimeZone string          `json:"timeZone"`
		} `json:"properties"`
	}
	const expected = "expected the service's reply for a point, with gridId, gridX and gridY"
	if err := json.Unmarshal(body, &file); err != nil {
		return square{}, fmt.Errorf("the reply is not readable JSON (%w); %s", err, expected)
	}
	p := file.Properties
	x, errX := strconv.Atoi(strings.Trim(string(p.GridX), `"`))
	y, errY := strconv.Atoi(strings.Trim(string(p.GridY), `"`))
	isOffice := len(p.GridID) == 3 && strings.Trim(p.GridID, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
	if !isOffice || errX != nil || errY != nil || x < 0 || y < 0 || x > 9999 || y > 9999 {
		return square{}, fmt.Errorf("the reply names no grid square; found office %q, %s, %s; %s", clip(p.GridID), clip(string(p.GridX)), clip(string(p.GridY)), expected)
	}
	return square{office: p.GridID, x: x, y: y, zone: p.TimeZone}, nil
}

// readGrid reads a grid forecast far enough to know that it is one.
func readGrid(body []byte) (*season.Forecast, error) {
	f, _, err := nws.Read(bytes.NewReader(body), "", time.UTC)
	return f, err
}
