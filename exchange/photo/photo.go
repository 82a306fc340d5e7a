// Package photo reads photos that people took with a telephone or a camera, for looking at what covers the
// ground: upright, scaled down, with the time and the place they were taken at. It is careful, since the
// files come from anywhere: size is judged before anything is decoded, and errors say what was found and what
// was expected.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"time"

	"culm/agronomy/cover"
)

// Limits of what is read.
const (
	MostBytes     = 64 << 20  // of a file
	MostPixels    = 64e6      // of a picture
	mostMemory    = 320 << 20 // bytes, that decoding may take
	mostPerByte   = 400       // pixels to a byte of the file; even blank pictures have fewer
	acrossLooking = 1400      // pixels of the longer side that are looked at
)

// Photo is a photo, ready to be looked at.
type Photo struct {
	Name string
	// Width and Height are those of the picture in the file, held upright.
	Width, Height int
	// Pixels is the picture upright, scaled down so that its longer side has at most 1,400 pixels.
	Pixels cover.Pixels
	Details
}

// Details is what a camera writes beside the picture. Each may be missing.
type Details struct {
	// Taken is when; Zoned says that the camera wrote how far its clock is from UTC. Without, the time is that
	// of the camera's clock and stands as if in UTC. It is zero when missing.
	Taken time.Time
	Zoned bool
	// Position is where.
	Position *Position
	// Unreadable is why the details could not be read, where there are some.
	Unreadable error
	turn       orientation
}

// Position is a place, in degrees (WGS 84).
type Position struct {
	Latitude  float64 `json:"latitude"`
	Longitude float64 `json:"longitude"`
}

// ErrNotRead is the kind of every error about what a file is, rather than about reading it.
var ErrNotRead = errors.New("photo not read")

// problem is an error of that kind, in words for the person who chose the file.
type problem struct{ text string }

func (p problem) Error() string        { return p.text }
func (p problem) Is(target error) bool { return target == ErrNotRead }

func refuse(name, format string, args ...any) error {
	return problem{name + ": " + fmt.Sprintf(format, args...)}
}

// Read reads a JPEG or PNG photo. The name is for messages.
func Read(name string, r io.Reader) (*Photo, error) {
	data, err := io.ReadAll(io.LimitReader(r, MostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(data) > MostBytes {
		return nil, refuse(name, "the file is larger than %d MB; expected a photo of one place, as a camera stores it", MostBytes>>20)
	}
	format, err := recognize(name, data)
	if err != nil {
		return nil, err
	}
	if err := judge(name, data, format); err != nil {
		return nil, err
	}
	decoded, err := format.decode(bytes.NewReader(data))
	if err != nil {
		return nil, refuse(name, "it begins as a %s photo but is damaged or cut off (%v); expected a whole file. Copy it from the camera again", format.name, err)
	}
	p := &Photo{Name: name, Details: details(data, format)}
	p.Width, p.Height = p.turn.size(decoded.Bounds().Dx(), decoded.Bounds().Dy())
	p.Pixels = scale(decoded, p.turn)
	return p, nil
}

// format is a kind of file that is read.
type format struct {
	name   string
	config func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
}

// recognize goes by the first bytes, not by the name.
func recognize(name string, data []byte) (format, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		return format{"JPEG", jpeg.DecodeConfig, jpeg.Decode}, nil
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return format{"PNG", png.DecodeConfig, png.Decode}, nil
	case len(data) == 0:
		return format{}, refuse(name, "the file is empty; expected a JPEG or PNG photo")
	}
	if found, hint := other(data); found != "" {
		return format{}, refuse(name, "it is %s; expected a JPEG or PNG photo%s", found, hint)
	}
	return format{}, refuse(name, "it is not a photo; expected a JPEG or PNG file")
}

// other names kinds of files that people take for photos, with what to do.
func other(data []byte) (found, hint string) {
	at := func(offset int, text string) bool {
		return len(data) >= offset && bytes.HasPrefix(data[offset:], []byte(text))
	}
	if at(4, "ftyp") {
		return container(data)
	}
	switch {
	case at(0, "GIF8"):
		return "a GIF picture", ""
	case at(0, "BM"):
		return "a BMP picture", ". Save it as JPEG"
	case at(0, "RIFF") && at(8, "WEBP"):
		return "a WebP picture", ", as the camera stored it"
	case at(0, "II*\x00"), at(0, "MM\x00*"):
		return "a TIFF or raw picture", ". Export it as JPEG"
	case at(0, "%PDF"):
		return "a PDF document", ""
	case at(0, "PK\x03\x04"):
		return "a zip archive", ". Unpack it first"
	default:
		return "", ""
	}
}

// container tells pictures from films among files of the ISO base media format, by their brand.
func container(data []byte) (found, hint string) {
	if len(data) < 12 {
		return "cut off", ""
	}
	switch string(data[8:12]) {
	case "heic", "heix", "heim", "heis", "hevc", "mif1", "msf1":
		return "a HEIC photo", ". HEIC cannot be read here: have the camera store JPEG (often called most compatible), or share or export this one as JPEG"
	case "avif", "avis":
		return "an AVIF picture", ". Export it as JPEG"
	default:
		return "a film", ". Take a photo"
	}
}

// judge decides by the head of a file whether to decode it.
func judge(name string, data []byte, f format) error {
	c, err := f.config(bytes.NewReader(data))
	if err != nil {
		return refuse(name, "it begins as a %s photo but has no readable head (%v); expected a whole file. Copy it from the camera again", f.name, err)
	}
	pixels := float64(c.Width) * float64(c.Height)
	switch {
	case min(c.Width, c.Height) < cover.ShortestSide:
		return refuse(name, "the picture is %d by %d pixels; expected at least %d each way. Use the photo itself, not a preview", c.Width, c.Height, cover.ShortestSide)
	case pixels > MostPixels:
		return refuse(name, "the picture is %d by %d pixels, %.0f megapixels; expected at most %.0f. Set the camera to fewer, or reduce the picture", c.Width, c.Height, pixels/1e6, MostPixels/1e6)
	case pixels > mostPerByte*float64(len(data)):
		return refuse(name, "it claims %.1f megapixels but has only %d bytes; expected a photo, which has more", pixels/1e6, len(data))
	}
	if each := memoryPerPixel(data, c); pixels*each > mostMemory {
		return refuse(name, "the picture has %.0f megapixels, stored in a way that takes %.0f bytes of memory each; expected at most %.0f megapixels so stored. Save it as an ordinary JPEG", pixels/1e6, each, mostMemory/each/1e6)
	}
	return nil
}
