package photo

import (
	"image"
	"image/color"
)

// memoryPerPixel is how many bytes decoding takes for each pixel, at most.
func memoryPerPixel(data []byte, c image.Config) float64 {
	switch c.ColorModel {
	case color.YCbCrModel:
		if isProgressive(data) {
			return 3 * (4 + 1) // every coefficient is kept until the end, as four bytes
		}
		return 3
	case color.GrayModel:
		return 1
	case color.NRGBA64Model, color.RGBA64Model:
		return 8
	default:
		return 4
	}
}

// isProgressive looks through the segments of a JPEG file for the kind of its frame.
func isProgressive(data []byte) bool {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		switch marker := data[at+1]; {
		case marker == 0xff: // fill byte
			at++
			continue
		case marker == 0xc2:
			return true
		case marker == 0xc0, marker == 0xc1, marker == 0xda:
			return false
		}
		at += 2 + int(data[at+2])<<8 + int(data[at+3])
	}
	return true // not understood: expect the worse
}
