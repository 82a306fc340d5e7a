package photo_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"testing"

	"culm/agronomy/cover"
	"culm/agronomy/cover/drawn"
	"culm/exchange/photo"
)

// telephonePhoto is a drawn no-till field as a JPEG of 12 megapixels, with the detail that slows decoding.
func telephonePhoto(tb testing.TB) []byte {
	tb.Helper()
	d := drawn.Draw(drawn.NoTill(6.3))
	var b bytes.Buffer
	m := &image.RGBA{Pix: d.RGBA, Stride: 4 * d.Width, Rect: image.Rect(0, 0, d.Width, d.Height)}
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// BenchmarkCoverPhoto is a photo of 12 megapixels from the file to the classes of its patches.
func BenchmarkCoverPhoto(b *testing.B) {
	file := telephonePhoto(b)
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		p, err := photo.Read("field.jpg", bytes.NewReader(file))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := cover.Look(p.Pixels); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCoverLook is the part after decoding and scaling down.
func BenchmarkCoverLook(b *testing.B) {
	p, err := photo.Read("field.jpg", bytes.NewReader(telephonePhoto(b)))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := cover.Look(p.Pixels); err != nil {
			b.Fatal(err)
		}
	}
}
