package lab

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/net/html/charset"
)

// resultXML is a result of the standard's XML form.
type resultXML struct {
	Element   string `xml:"Element"`
	Value     string `xml:"Value"`
	ValueUnit string `xml:"ValueUnit"`
	Test      string `xml:"ModusTestID"`
	ValueType string `xml:"ValueType"`
}

type depthRefXML struct {
	ID     string `xml:"DepthID,attr"`
	Top    string `xml:"StartingDepth"`
	Bottom string `xml:"EndingDepth"`
	Unit   string `xml:"DepthUnit"`
}

type sampleXML struct {
	SampleNumber string `xml:"SampleNumber"`
	FMISSampleID string `xml:"FMISSampleID"`
	ContainerID  string `xml:"SampleContainerID"`
	ReportID     string `xml:"ReportID"`
}

type fieldXML struct {
	ID   string `xml:"ID,attr"`
	Text string `xml:",chardata"`
}

// xmlReader goes through a file element by element. encoding/xml unfolds no entities.
type xmlReader struct {
	*xml.Decoder
	events []event
}

func readXML(data []byte, r *report) []event {
	x := &xmlReader{Decoder: xml.NewDecoder(bytes.NewReader(data))}
	x.CharsetReader = charset.NewReaderLabel
	root := ""
	for {
		token, err := x.Token()
		line, _ := x.InputPos()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			r.wrong(place{line, ""}, "the file is not readable as XML: "+err.Error(), "", "a result file of the exchange standard")
			return nil
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if root == "" {
			if root = start.Name.Local; !isResult(root, line, r) {
				return nil
			}
			continue
		}
		if err := x.element(start, line); err != nil {
			r.wrong(place{line, start.Name.Local}, "the element cannot be read: "+err.Error(), "", "a result file of the exchange standard")
			return nil
		}
	}
	return x.events
}

// isResult refuses other files in XML, and what was sent to the laboratory rather than came from it.
func isResult(root string, line int, r *report) bool {
	switch root {
	case "ModusResult":
		return true
	case "ModusSubmit":
		r.wrong(place{line, ""}, "this is what was sent to the laboratory, without results", "<"+root+">", "the laboratory's answer, which begins with <ModusResult>")
	default:
		r.wrong(place{line, ""}, "this is not a result file of the exchange standard", "<"+shown(root)+">", "<ModusResult>")
	}
	return false
}

func (x *xmlReader) element(start xml.StartElement, line int) error {
	name := start.Name.Local
	if name == "Event" {
		x.events = append(x.events, event{layers: map[string]stdLayer{}})
		return nil
	}
	if len(x.events) == 0 {
		return nil
	}
	e := &x.events[len(x.events)-1]
	switch name {
	case "EventDate":
		return x.DecodeElement(&e.day, &start)
	case "LabName":
		return x.DecodeElement(&e.lab, &start)
	case "Field":
		var f fieldXML
		err := x.DecodeElement(&f, &start)
		if e.field = strings.TrimSpace(f.Text); e.field == "" {
			e.field = strings.TrimSpace(f.ID)
		}
		return err
	case "DepthRef":
		var d depthRefXML
		err := x.DecodeElement(&d, &start)
		e.layers[d.ID] = stdLayer{strings.TrimSpace(d.Top), strings.TrimSpace(d.Bottom), strings.TrimSpace(d.Unit)}
		return err
	case "NutrientRecommendations", "RecommendationRefs":
		return x.Skip()
	case "SoilSample":
		e.samples = append(e.samples, stdSample{line: line, ids: map[string]string{}})
		return nil
	}
	if len(e.samples) == 0 {
		return nil
	}
	return x.partOfSample(&e.samples[len(e.samples)-1], start, line)
}

func (x *xmlReader) partOfSample(s *stdSample, start xml.StartElement, line int) error {
	switch start.Name.Local {
	case "SampleMetaData":
		var m sampleXML
		err := x.DecodeElement(&m, &start)
		s.ids = map[string]string{
			"SampleNumber": strings.TrimSpace(m.SampleNumber), "FMISSampleID": strings.TrimSpace(m.FMISSampleID),
			"SampleContainerID": strings.TrimSpace(m.ContainerID), "ReportID": strings.TrimSpace(m.ReportID),
		}
		return err
	case "Depth":
		id := ""
		for _, a := range start.Attr {
			if a.Name.Local == "DepthID" {
				id = a.Value
			}
		}
		s.depths = append(s.depths, stdDepth{id: id})
	case "NutrientResult":
		var v resultXML
		if err := x.DecodeElement(&v, &start); err != nil {
			return err
		}
		if len(s.depths) == 0 {
			return fmt.Errorf("a result stands outside of a depth")
		}
		d := &s.depths[len(s.depths)-1]
		d.results = append(d.results, stdResult{
			line: line, element: strings.TrimSpace(v.Element), value: strings.TrimSpace(v.Value), unit: strings.TrimSpace(v.ValueUnit),
			test: strings.TrimSpace(v.Test), kind: strings.TrimSpace(v.ValueType),
		})
	}
	return nil
}
