package server

import (
	"bytes"
	"crypto/rand"
	"errors"
	"image"
	"image/jpeg"
	"slices"
	"strings"
	"sync"

	"culm/agronomy/calendar"
	"culm/agronomy/cover"
	"culm/exchange/photo"
)

// errNoLook says that photos were dropped, or never there.
var errNoLook = errors.New("these photos are no longer held")

// Limits of what is held. Photos are small by then: at most 1,400 pixels across.
const (
	mostPhotos = 12 // of one look
	mostHeld   = 60 // of all looks
)

// looks holds the photos that people are looking at. They are in memory only: the oldest go when newer ones need
// their place, and all of them when the server ends.
type looks struct {
	mu  sync.Mutex
	all []*look // the latest last

	// reading lets one photo in at a time: decoding takes memory.
	reading chan struct{}
}

func newLooks() *looks { return &looks{reading: make(chan struct{}, 1)} }

// look is the photos of one field that count together. It is not changed once it is held; put replaces it.
type look struct {
	ID, Field string
	Photos    []looked
	// Refused says of each file that could not be read why.
	Refused []string
	// Kept is set once what was seen is written down.
	Kept bool
}

// looked is one photo with what was seen in it, and with what a person told since.
type looked struct {
	Name    string
	Taken   calendar.Day // zero when the camera did not say
	First   cover.Photo  // as it was seen
	Told    []cover.Correction
	Seen    cover.Photo // with what was told
	Picture []byte      // JPEG, without anything that the camera wrote beside it
}

// newLook gives a look without photos, under a name that nobody guesses.
func newLook(field string) *look { return &look{ID: strings.ToLower(rand.Text()), Field: field} }

// find gives a look of a field.
func (l *looks) find(field, id string) (look, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, held := range l.all {
		if held.ID == id && held.Field == field {
			return *held, nil
		}
	}
	return look{}, errNoLook
}

// put holds a look, in place of what was held under its name, and lets the oldest go.
func (l *looks) put(changed look) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all = slices.DeleteFunc(l.all, func(held *look) bool { return held.ID == changed.ID })
	l.all = append(l.all, &changed)
	photos := 0
	for i, held := range slices.Backward(l.all) {
		if photos += len(held.Photos); photos > mostHeld {
			l.all = slices.Clone(l.all[i+1:])
			return
		}
	}
}

// lookAt sees what is in a photo.
func lookAt(p *photo.Photo) (looked, error) {
	seen, err := cover.Look(p.Pixels)
	if err != nil {
		return looked{}, err
	}
	var picture bytes.Buffer
	m := &image.RGBA{Pix: p.Pixels.RGBA, Stride: 4 * p.Pixels.Width, Rect: image.Rect(0, 0, p.Pixels.Width, p.Pixels.Height)}
	if err := jpeg.Encode(&picture, m, &jpeg.Options{Quality: 82}); err != nil {
		return looked{}, err
	}
	found := looked{Name: p.Name, First: seen, Seen: seen, Picture: picture.Bytes()}
	if !p.Taken.IsZero() {
		found.Taken = calendar.FromTime(p.Taken)
	}
	return found, nil
}

// tell gives the photo with what a person says of its patches, in place of what was said before.
func (p looked) tell(told []cover.Correction) (looked, error) {
	seen, err := p.First.Correct(told)
	if err != nil {
		return p, err
	}
	p.Told, p.Seen = told, seen
	return p, nil
}

// fit are the covers of the photos that count.
func (l look) fit() []cover.Cover {
	var all []cover.Cover
	for _, p := range l.Photos {
		if p.Seen.Fit {
			all = append(all, p.Seen.Cover)
		}
	}
	return all
}
