package photo

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/bep/imagemeta"
)

// details reads what the camera wrote beside the picture. A photo without any is a photo all the same.
func details(data []byte, f format) Details {
	d := Details{turn: 1}
	kind := imagemeta.JPEG
	if f.name == "PNG" {
		kind = imagemeta.PNG
	}
	var tags imagemeta.Tags
	_, err := imagemeta.Decode(imagemeta.Options{
		R:               bytes.NewReader(data),
		ImageFormat:     kind,
		Sources:         imagemeta.EXIF,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { return wanted(t) },
		HandleTag:       func(t imagemeta.TagInfo) error { tags.Add(t); return nil },
		Warnf:           func(string, ...any) {},
		LimitNumTags:    2000,
		LimitTagSize:    1000,
	})
	if err != nil && !errors.Is(err, imagemeta.ErrStopWalking) {
		d.Unreadable = fmt.Errorf("what the camera wrote beside the picture is not readable: %w", err)
	}
	exif := tags.EXIF()
	if n := whole(exif["Orientation"].Value); n >= 1 && n <= 8 {
		d.turn = orientation(n)
	}
	d.Taken, d.Zoned = taken(text(exif["DateTimeOriginal"].Value), text(exif["OffsetTimeOriginal"].Value))
	d.Position = position(&tags)
	return d
}

func wanted(t imagemeta.TagInfo) bool {
	switch t.Tag {
	case "Orientation", "DateTimeOriginal", "OffsetTimeOriginal",
		"GPSLatitude", "GPSLatitudeRef", "GPSLongitude", "GPSLongitudeRef":
		return true
	default:
		return false
	}
}

func whole(v any) int {
	switch v := v.(type) {
	case uint16:
		return int(v)
	case uint8:
		return int(v)
	default:
		return 0
	}
}

func text(v any) string {
	s, _ := v.(string)
	return strings.TrimRight(s, " \x00")
}

// taken reads EXIF's time, with the offset from UTC where the camera wrote one.
func taken(local, offset string) (t time.Time, zoned bool) {
	const form = "2006:01:02 15:04:05"
	if t, err := time.Parse(form+"-07:00", local+offset); err == nil {
		return t, true
	}
	t, err := time.Parse(form, local)
	if err != nil {
		return time.Time{}, false
	}
	return t, false
}

// position is the place, when both parts are there and on the globe. Cameras without a fix write 0, 0.
func position(tags *imagemeta.Tags) *Position {
	if _, ok := tags.EXIF()["GPSLatitude"]; !ok {
		return nil
	}
	latitude, longitude, err := tags.GetLatLong()
	if err != nil || math.IsNaN(latitude) || math.IsNaN(longitude) ||
		math.Abs(latitude) > 90 || math.Abs(longitude) > 180 || latitude == 0 && longitude == 0 {
		return nil
	}
	return &Position{latitude, longitude}
}
