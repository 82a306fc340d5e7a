package lab

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/calendar"

	"github.com/xuri/excelize/v2"
)

// Bounds of a workbook: what its parts unpack to, and how much denser than a report they may be packed.
const (
	mostUnpacked = 48 * mb
	mostPart     = 16 * mb
	mostRatio    = 200
	smallPart    = 1 * mb
	mostParts    = 2000
	mostMerges   = 2000
	mostStyles   = 5000
)

// readWorkbook reads the sheets named, or the only one that has anything in it.
func readWorkbook(data []byte, sheets []string, r *report) []*grid {
	if !safeToUnpack(data, r) {
		return nil
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostPart, RawCellValue: true,
	})
	if err != nil {
		r.wrong(place{}, "the workbook cannot be read: "+err.Error(), "", "a workbook saved as XLSX, without a password")
		return nil
	}
	defer f.Close() // nothing is written
	w := workbook{File: f, report: r}
	if props, err := f.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		w.from1904 = *props.Date1904
	}
	w.forms = w.numberForms()
	var grids []*grid
	for _, name := range w.choose(sheets) {
		if g := w.grid(name); g != nil {
			grids = append(grids, g)
		}
	}
	if r.failed() {
		return nil
	}
	if len(sheets) == 0 {
		grids = slices.DeleteFunc(grids, func(g *grid) bool { return len(g.rows) == 0 })
	}
	return grids
}

// safeToUnpack looks at what the parts of a workbook say they unpack to. A part that lies about it is caught by
// the unpacking, which stops at the size said.
func safeToUnpack(data []byte, r *report) bool {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		r.wrong(place{}, "the workbook cannot be read: "+err.Error(), "", "a workbook saved as XLSX")
		return false
	}
	total := uint64(0)
	for _, part := range archive.File {
		size := part.UncompressedSize64
		total += size
		tooDense := size > smallPart && size/mostRatio > part.CompressedSize64
		if size > mostPart || total > mostUnpacked || tooDense || len(archive.File) > mostParts {
			r.wrong(place{}, "the workbook would unpack to far more than a laboratory's report", shown(part.Name),
				fmt.Sprintf("at most %d MB a part, %d MB in all, and %d times its packed size", mostPart/mb, mostUnpacked/mb, mostRatio))
			return false
		}
		if n := countMerges(part); n > mostMerges {
			r.wrong(place{}, "the workbook has more merged cells than a laboratory's report", shown(part.Name)+", "+strconv.Itoa(n), fmt.Sprintf("at most %d in a sheet", mostMerges))
			return false
		}
	}
	return true
}

// countMerges counts the merged cells in a part. The library compares each with each, so they are counted before.
func countMerges(part *zip.File) int {
	in, err := part.Open()
	if err != nil {
		return 0 // the library will say why
	}
	defer in.Close() // only read
	text, err := io.ReadAll(io.LimitReader(in, mostPart))
	if err != nil {
		return 0
	}
	return bytes.Count(text, []byte("mergeCell ")) + bytes.Count(text, []byte("mergeCell\n")) + bytes.Count(text, []byte("mergeCell\t")) + bytes.Count(text, []byte("mergeCell\r"))
}

// workbook is one that is being read.
type workbook struct {
	*excelize.File
	report   *report
	from1904 bool
	// forms has how numbers are shown, by style; empty where no style shows more than the number.
	forms map[int]numberForm
}

// choose gives the sheets to read; all of them where none is named.
func (w workbook) choose(sheets []string) []string {
	all := w.GetSheetList()
	if len(sheets) == 0 {
		return all
	}
	for _, name := range sheets {
		if !slices.Contains(all, name) {
			w.report.wrong(place{0, "sheet"}, "the workbook has no such sheet", quoted(name), oneOf(all))
			return nil
		}
	}
	return sheets
}

// grid reads a sheet: first its cells as they stream by, within bounds, and only then what takes the whole sheet
// in memory, how numbers are shown and which cells are merged.
func (w workbook) grid(sheet string) *grid {
	g := w.cells(sheet)
	if g == nil {
		return nil
	}
	for _, row := range g.rows {
		for i := range row.cells {
			row.cells[i].text = w.asShown(sheet, row.line, i, row.cells[i].text)
		}
	}
	w.spreadMerged(g)
	return g
}

func (w workbook) cells(sheet string) *grid {
	rows, err := w.Rows(sheet)
	if err != nil {
		w.report.wrong(place{0, "sheet " + sheet}, "the sheet cannot be read: "+err.Error(), "", "a sheet with a table")
		return nil
	}
	defer rows.Close() // nothing is written
	g := &grid{sheet: sheet, from1904: w.from1904}
	cells := 0
	for line := 1; rows.Next(); line++ {
		texts, err := rows.Columns()
		cells += len(texts)
		switch {
		case err != nil:
			w.report.wrong(place{line, "sheet " + sheet}, "the row cannot be read: "+err.Error(), "", "")
			return nil
		case line > mostRows || len(texts) > mostColumns || cells > mostCells:
			w.report.wrong(place{line, "sheet " + sheet}, "the sheet is larger than a laboratory's report", "", fmt.Sprintf("at most %d rows and %d columns", mostRows, mostColumns))
			return nil
		case slices.ContainsFunc(texts, func(text string) bool { return len(text) > mostCell }):
			w.report.wrong(place{line, "sheet " + sheet}, "a cell holds more text than a laboratory prints", "", "")
			return nil
		}
		row := gridRow{line: line}
		for _, text := range texts {
			row.cells = append(row.cells, gridCell{text: strings.TrimSpace(text)})
		}
		if !row.isBlank() {
			g.rows = append(g.rows, row)
		}
	}
	return g
}

// numberForm is what matters of how a workbook shows a number.
type numberForm struct {
	percent bool
	literal bool // it is shown with words, such as a unit, that are not in the cell
}

// asShown gives a cell's text as its reader sees it where that is more than the number in the cell: 0.021 shown
// as a percentage is 2.1%. Otherwise it is the number as kept, with all its digits.
func (w workbook) asShown(sheet string, line, column int, text string) string {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return text
	}
	form, address := numberForm{}, letters(column)+strconv.Itoa(line)
	if len(w.forms) > 0 {
		if style, err := w.GetCellStyle(sheet, address); err == nil {
			form = w.forms[style]
		}
	}
	switch {
	case form.percent:
		return strconv.FormatFloat(v*100, 'g', 12, 64) + " %"
	case form.literal:
		if seen, err := w.GetCellValue(sheet, address, excelize.Options{RawCellValue: false}); err == nil {
			return strings.TrimSpace(seen)
		}
	}
	return strconv.FormatFloat(v, 'g', 15, 64) // the sixteenth digit is the workbook's own noise
}

// numberForms gives the styles that show more than the number.
func (w workbook) numberForms() map[int]numberForm {
	forms := map[int]numberForm{}
	for style := range mostStyles {
		s, err := w.GetStyle(style)
		if err != nil || s == nil {
			break
		}
		form := numberForm{percent: s.NumFmt == 9 || s.NumFmt == 10}
		if s.CustomNumFmt != nil {
			form.percent = strings.Contains(*s.CustomNumFmt, "%")
			form.literal = strings.Contains(*s.CustomNumFmt, `"`)
		}
		if form != (numberForm{}) {
			forms[style] = form
		}
	}
	return forms
}

// spreadMerged writes the text of merged cells into all of them, marked as such.
func (w workbook) spreadMerged(g *grid) {
	merges, err := w.GetMergeCells(g.sheet)
	if err != nil {
		w.report.wrong(place{0, "sheet " + g.sheet}, "the merged cells of the sheet cannot be read: "+err.Error(), "", "cells merged without overlap")
		return
	}
	spread := 0
	for _, m := range merges {
		left, top, errStart := excelize.CellNameToCoordinates(m.GetStartAxis())
		right, bottom, errEnd := excelize.CellNameToCoordinates(m.GetEndAxis())
		if errStart != nil || errEnd != nil {
			continue
		}
		if spread += (min(bottom, mostRows) - top + 1) * (min(right, mostColumns) - left + 1); spread > mostCells {
			w.report.wrong(place{0, "sheet " + g.sheet}, "the merged cells of the sheet are more than a report has", "", fmt.Sprintf("at most %d cells", mostCells))
			return
		}
		first, _ := slices.BinarySearchFunc(g.rows, top, func(r gridRow, line int) int { return r.line - line })
		text := ""
		if first < len(g.rows) && g.rows[first].line == top {
			text = g.rows[first].at(left - 1).text
		}
		for i := first; i < len(g.rows) && g.rows[i].line <= bottom; i++ {
			row := &g.rows[i]
			for column := left; column <= min(right, mostColumns); column++ {
				if row.line == top && column == left {
					continue
				}
				for len(row.cells) < column {
					row.cells = append(row.cells, gridCell{})
				}
				row.cells[column-1] = gridCell{text: text, merged: true, from: top}
			}
		}
	}
}

// serialDate reads a date as workbooks keep it: days since 1900, or 1904.
func serialDate(text string, from1904 bool) (calendar.Day, bool) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v < 20_000 || v > 90_000 { // 1954 to 2146
		return calendar.Day{}, false
	}
	t, err := excelize.ExcelDateToTime(v, from1904)
	if err != nil {
		return calendar.Day{}, false
	}
	return calendar.FromTime(t), true
}
