package page

import "unicode/utf8"

// The printed page in points, as page.css lays it out on the smaller of the two papers: Letter is shorter,
// A4 is narrower.
const (
	pageHeight  = 792 - 2*34
	columnWidth = 243.0
	pageWidth   = 2*columnWidth + 16
	headHeight  = 62.0 // name, producer, the line that says it is invented
	bigType     = 14.5 // the sentence
	bigLeading  = 17.4
	recordSpace = 68.0
	noteType    = 5.6 // the sources
	noteLeading = 6.8
	// characterWidth is the mean width of a character, as a share of the size of type.
	characterWidth = 0.465
	leading        = 1.26
	itemSpace      = 2.6
	headingSpace   = 10.0
)

// sizes are the sizes of type that page.css has in print, in points, each with its class.
func sizes() []typeSize {
	return []typeSize{{"type-84", 8.4}, {"type-78", 7.8}, {"type-72", 7.2}, {"type-66", 6.6}, {"type-60", 6.0}}
}

type typeSize struct {
	class  string
	points float64
}

// fit chooses the largest type at which the page stays one, by an estimate of the room that everything takes.
func fit(v view) string {
	for _, size := range sizes() {
		if v.height(size.points) <= pageHeight {
			return size.class
		}
	}
	return sizes()[len(sizes())-1].class
}

// height estimates the height of the printed page at a size of type.
func (v view) height(size float64) float64 {
	// An item is not broken, so the columns come out as uneven as half the tallest item with its heading.
	columns, tallest := 0.0, 0.0
	block := func(width float64, texts ...string) {
		above := size*1.1*leading + headingSpace
		for _, text := range texts {
			item := float64(lineCount(text, width, size))*size*leading + itemSpace
			columns, tallest = columns+above+item, max(tallest, above+item)
			above = 0
		}
	}
	for _, list := range [][]string{v.Reasons, v.Ground, v.Cautions, v.Seen, v.Assumed, v.Doubts, v.Missing} {
		block(columnWidth, list...)
	}
	var days, values []string
	for _, d := range v.days {
		days = append(days, d.Words)
	}
	block(columnWidth-6.6*size-4, days...)
	for _, l := range append(v.Do, v.Ways...) {
		values = append(values, l.Value)
	}
	block(columnWidth*0.48, values...)
	columns += size*1.1*leading + headingSpace // the values stand in two blocks
	height := headHeight + float64(lineCount(v.Sentence, pageWidth-80, bigType))*bigLeading + 14 + (columns+tallest)/2 + recordSpace + size*leading + 8
	notes := 0
	for _, source := range v.Sources {
		notes += utf8.RuneCountInString(source) + 3
	}
	return height + (float64(notes)*noteType*characterWidth/pageWidth+1)*noteLeading
}

// lineCount estimates how many lines a text takes.
func lineCount(text string, width, size float64) int {
	return 1 + int(float64(utf8.RuneCountInString(text))*size*characterWidth/width)
}
