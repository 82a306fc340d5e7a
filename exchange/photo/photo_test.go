package photo_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"
	"time"

	"culm/exchange/photo"

	"github.com/google/go-cmp/cmp"
)

// quarters is a picture of which each quarter has a colour of its own.
func quarters(width, height int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	colours := [4]color.RGBA{{200, 40, 40, 255}, {40, 160, 40, 255}, {50, 60, 190, 255}, {120, 120, 120, 255}}
	for y := range height {
		for x := range width {
			m.SetRGBA(x, y, colours[2*y/height*2+2*x/width])
		}
	}
	return m
}

func asJPEG(tb testing.TB, m image.Image) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(tb testing.TB, m image.Image) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// entry is one field of an EXIF directory (Exif 2.32, section 4.6): its tag, type, count and value or bytes.
type entry struct {
	tag, kind uint16
	count     uint32
	value     []byte
}

func ascii(tag uint16, s string) entry {
	return entry{tag, 2, uint32(len(s) + 1), append([]byte(s), 0)}
}

func short(tag, v uint16) entry {
	return entry{tag, 3, 1, binary.BigEndian.AppendUint16(nil, v)}
}

func rationals(tag uint16, v ...uint32) entry {
	var b []byte
	for _, n := range v {
		b = binary.BigEndian.AppendUint32(b, n)
	}
	return entry{tag, 5, uint32(len(v) / 2), b}
}

// directory writes entries at an offset of the block; longer values follow it.
func directory(at int, entries []entry) []byte {
	head := binary.BigEndian.AppendUint16(nil, uint16(len(entries)))
	var tail []byte
	after := at + 2 + 12*len(entries) + 4
	for _, e := range entries {
		head = binary.BigEndian.AppendUint16(head, e.tag)
		head = binary.BigEndian.AppendUint16(head, e.kind)
		head = binary.BigEndian.AppendUint32(head, e.count)
		if len(e.value) <= 4 {
			head = append(head, append(bytes.Clone(e.value), make([]byte, 4-len(e.value))...)...)
			continue
		}
		head = binary.BigEndian.AppendUint32(head, uint32(after+len(tail)))
		tail = append(tail, e.value...)
	}
	head = append(head, 0, 0, 0, 0)
	return append(head, tail...)
}

// withDetails puts an EXIF segment after the start of a JPEG file.
func withDetails(file []byte, main, camera, place []entry) []byte {
	block := []byte("MM\x00*\x00\x00\x00\x08")
	pointer := func(tag uint16, to int) entry {
		return entry{tag, 4, 1, binary.BigEndian.AppendUint32(nil, uint32(to))}
	}
	// The pointers have the same length whatever they point at, so that places can be found beforehand.
	count := len(directory(8, append(append([]entry{}, main...), pointer(0x8769, 0), pointer(0x8825, 0))))
	cameraAt := 8 + count
	placeAt := cameraAt + len(directory(cameraAt, camera))
	block = append(block, directory(8, append(append([]entry{}, main...), pointer(0x8769, cameraAt), pointer(0x8825, placeAt)))...)
	block = append(block, directory(cameraAt, camera)...)
	block = append(block, directory(placeAt, place)...)
	segment := append([]byte("Exif\x00\x00"), block...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(segment)+2))...)
	return append(append(out, segment...), file[2:]...)
}

func read(tb testing.TB, data []byte) *photo.Photo {
	tb.Helper()
	p, err := photo.Read("IMG_1.jpg", bytes.NewReader(data))
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// at names the colour of the middle of a quarter.
func at(p *photo.Photo, right, down int) string {
	x, y := p.Pixels.Width*(1+2*right)/4, p.Pixels.Height*(1+2*down)/4
	c := p.Pixels.RGBA[4*(y*p.Pixels.Width+x):]
	switch {
	case c[0] > c[1]+60 && c[0] > c[2]+60:
		return "red"
	case c[1] > c[0]+60 && c[1] > c[2]+60:
		return "green"
	case c[2] > c[0]+60 && c[2] > c[1]+60:
		return "blue"
	default:
		return "grey"
	}
}

// The eight orientations of Exif 2.32, section 4.6.4 A, tag 274: the visual sides of the 0th row and column.
// The file holds red green above blue grey.
func TestPhotosStandUpright(t *testing.T) {
	file := asJPEG(t, quarters(160, 96))
	for _, row := range []struct {
		orientation uint16
		name        string
		expected    [4]string
	}{
		{1, "row 0 top, column 0 left", [4]string{"red", "green", "blue", "grey"}},
		{2, "row 0 top, column 0 right", [4]string{"green", "red", "grey", "blue"}},
		{3, "row 0 bottom, column 0 right", [4]string{"grey", "blue", "green", "red"}},
		{4, "row 0 bottom, column 0 left", [4]string{"blue", "grey", "red", "green"}},
		{5, "row 0 left, column 0 top", [4]string{"red", "blue", "green", "grey"}},
		{6, "row 0 right, column 0 top", [4]string{"blue", "red", "grey", "green"}},
		{7, "row 0 right, column 0 bottom", [4]string{"grey", "green", "blue", "red"}},
		{8, "row 0 left, column 0 bottom", [4]string{"green", "grey", "red", "blue"}},
		{9, "no such orientation", [4]string{"red", "green", "blue", "grey"}},
	} {
		p := read(t, withDetails(file, []entry{short(0x0112, row.orientation)}, nil, nil))
		got := [4]string{at(p, 0, 0), at(p, 1, 0), at(p, 0, 1), at(p, 1, 1)}
		if d := cmp.Diff(row.expected, got); d != "" {
			t.Errorf("orientation %d, %s (-expected +got):\n%s", row.orientation, row.name, d)
		}
		wide := row.orientation < 5 || row.orientation > 8
		if (p.Width > p.Height) != wide || (p.Pixels.Width > p.Pixels.Height) != wide {
			t.Errorf("orientation %d: %d by %d, looked at as %d by %d", row.orientation, p.Width, p.Height, p.Pixels.Width, p.Pixels.Height)
		}
	}
}

func TestTimeAndPlace(t *testing.T) {
	file := asJPEG(t, quarters(128, 96))
	place := []entry{ascii(1, "N"), rationals(2, 36, 1, 7, 1, 1200, 100), ascii(3, "W"), rationals(4, 97, 1, 30, 1, 0, 1)}
	p := read(t, withDetails(file, nil, []entry{ascii(0x9003, "2027:02:10 14:05:06"), ascii(0x9011, "-06:00")}, place))
	if want := time.Date(2027, 2, 10, 20, 5, 6, 0, time.UTC); !p.Taken.Equal(want) || !p.Zoned {
		t.Errorf("taken %v, expected %v", p.Taken, want)
	}
	// 36° 7' 12" N is 36.12, 97° 30' W is -97.5.
	if p.Position == nil || math.Abs(p.Position.Latitude-36.12) > 1e-9 || math.Abs(p.Position.Longitude+97.5) > 1e-9 {
		t.Errorf("taken at %+v, expected 36.12, -97.5", p.Position)
	}
	local := read(t, withDetails(file, nil, []entry{ascii(0x9003, "2027:02:10 14:05:06")}, nil))
	if local.Zoned || local.Taken.Hour() != 14 || local.Position != nil {
		t.Errorf("a clock without zone: %v, zoned %v, at %v", local.Taken, local.Zoned, local.Position)
	}
	none := read(t, file)
	if !none.Taken.IsZero() || none.Position != nil || none.Unreadable != nil {
		t.Errorf("no details: %+v", none.Details)
	}
}

func TestLargePhotosAreScaledDown(t *testing.T) {
	for _, row := range []struct {
		name          string
		file          []byte
		width, height int
	}{
		{"small, as it is", asJPEG(t, quarters(300, 200)), 300, 200},
		{"JPEG of twelve megapixels", asJPEG(t, quarters(4032, 3024)), 1344, 1008},
		{"PNG", asPNG(t, quarters(2801, 1400)), 933, 466},
		{"a strip keeps its height", asJPEG(t, quarters(6000, 140)), 3000, 70},
		{"grey", asPNG(t, image.NewGray16(image.Rect(0, 0, 80, 70))), 80, 70},
	} {
		p := read(t, row.file)
		if p.Pixels.Width != row.width || p.Pixels.Height != row.height || len(p.Pixels.RGBA) != 4*row.width*row.height {
			t.Errorf("%s: %d by %d, expected %d by %d", row.name, p.Pixels.Width, p.Pixels.Height, row.width, row.height)
		}
	}
}

// The mean of squares is the same whichever way a picture is stored.
func TestScalingAgreesAmongFormats(t *testing.T) {
	m := quarters(3000, 2000)
	a, b := read(t, asPNG(t, m)), read(t, asJPEG(t, m))
	for _, x := range []int{0, 200, 399, 600, 999} {
		for _, y := range []int{0, 100, 500, 665} {
			for band := range 3 {
				i := 4*(y*a.Pixels.Width+x) + band
				if d := int(a.Pixels.RGBA[i]) - int(b.Pixels.RGBA[i]); d < -4 || d > 4 {
					t.Errorf("at %d, %d band %d: PNG %d, JPEG %d", x, y, band, a.Pixels.RGBA[i], b.Pixels.RGBA[i])
				}
			}
		}
	}
}

// claim rewrites the size in the head of a PNG file, with its checksum left wrong or right as the reader
// minds: sizes are read before the checksum is.
func claim(file []byte, width, height uint32) []byte {
	out := bytes.Clone(file)
	binary.BigEndian.PutUint32(out[16:], width)
	binary.BigEndian.PutUint32(out[20:], height)
	binary.BigEndian.PutUint32(out[29:], crc(out[12:29]))
	return out
}

func crc(b []byte) uint32 {
	c := ^uint32(0)
	for _, x := range b {
		c ^= uint32(x)
		for range 8 {
			c = c>>1 ^ 0xedb88320*(c&1)
		}
	}
	return ^c
}

func TestBadFilesAreRefusedInPlainWords(t *testing.T) {
	good, small := asJPEG(t, quarters(400, 300)), asPNG(t, quarters(400, 300))
	for _, row := range []struct {
		name string
		file []byte
		says []string
	}{
		{"nothing", nil, []string{"empty", "expected a JPEG or PNG"}},
		{"a text", []byte("field,hits,marks\n"), []string{"not a photo", "expected a JPEG or PNG"}},
		{"HEIC", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), []string{"HEIC", "as JPEG"}},
		{"a film", []byte("\x00\x00\x00\x18ftypqt  \x00\x00\x00\x00"), []string{"film"}},
		{"WebP", []byte("RIFF\x00\x00\x00\x00WEBPVP8 "), []string{"WebP"}},
		{"raw", []byte("II*\x00\x08\x00\x00\x00"), []string{"TIFF or raw", "JPEG"}},
		{"PDF", []byte("%PDF-1.7"), []string{"PDF"}},
		{"200 megapixels", claim(append(bytes.Clone(small), make([]byte, 8<<20)...), 20000, 10000), []string{"20000 by 10000", "200 megapixels", "at most 64"}},
		{"decompression bomb", claim(small, 7000, 7000), []string{"49.0 megapixels", "bytes"}},
		{"a preview", asJPEG(t, quarters(48, 40)), []string{"48 by 40", "at least 64"}},
		{"cut off", good[:len(good)/2], []string{"damaged or cut off", "Copy it"}},
		{"head only", good[:20], []string{"no readable head"}},
		{"sixteen bits, too many", claim(append(asPNG(t, image.NewNRGBA64(image.Rect(0, 0, 300, 300))), make([]byte, 1<<20)...), 8000, 7900), []string{"8 bytes of memory", "ordinary JPEG"}},
	} {
		_, err := photo.Read("IMG_7", bytes.NewReader(row.file))
		if !errors.Is(err, photo.ErrNotRead) {
			t.Errorf("%s: %v; expected it to be refused", row.name, err)
			continue
		}
		for _, word := range append(row.says, "IMG_7: ", "expected") {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", row.name, err, word)
			}
		}
	}
}

func TestTooLargeAFileIsNotReadToItsEnd(t *testing.T) {
	_, err := photo.Read("film.jpg", endless{})
	if !errors.Is(err, photo.ErrNotRead) || !strings.Contains(err.Error(), "larger than 64 MB") {
		t.Errorf("%v", err)
	}
}

type endless struct{}

func (endless) Read(b []byte) (int, error) { return len(b), nil }

func FuzzRead(f *testing.F) {
	file := asJPEG(f, quarters(80, 64))
	f.Add(file)
	f.Add(asPNG(f, quarters(80, 64)))
	f.Add(withDetails(file, []entry{short(0x0112, 6)}, []entry{ascii(0x9003, "2027:02:10 14:05:06"), ascii(0x9011, "+01:00")},
		[]entry{ascii(1, "S"), rationals(2, 36, 0, 7, 1, 1200, 100), ascii(3, "W"), rationals(4, 97, 1, 30, 1, 0, 0)}))
	f.Add(claim(asPNG(f, quarters(80, 64)), 90000, 90000))
	f.Add([]byte("\x00\x00\x00\x18ftypheic"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := photo.Read("IMG", bytes.NewReader(data))
		if err != nil {
			return
		}
		if len(p.Pixels.RGBA) != 4*p.Pixels.Width*p.Pixels.Height || p.Pixels.Width == 0 || p.Pixels.Height == 0 {
			t.Errorf("%d by %d with %d bytes", p.Pixels.Width, p.Pixels.Height, len(p.Pixels.RGBA))
		}
		if p.Position != nil && (math.Abs(p.Position.Latitude) > 90 || math.Abs(p.Position.Longitude) > 180) {
			t.Errorf("off the globe: %v", p.Position)
		}
	})
}
