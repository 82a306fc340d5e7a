package lab

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
)

// word is a JSON string or number, as text.
type word string

func (w *word) UnmarshalJSON(data []byte) error {
	var text string
	if err := json.Unmarshal(data, &text); err == nil {
		*w = word(strings.TrimSpace(text))
		return nil
	}
	var number json.Number
	if err := json.Unmarshal(data, &number); err != nil {
		return errors.New("expected text or a number")
	}
	*w = word(number)
	return nil
}

// reportJSON is the standard's JSON form, as far as it is read.
type reportJSON struct {
	Events []struct {
		LabMetaData struct {
			LabName word
		}
		EventMetaData struct {
			EventDate word
		}
		FMISMetaData struct {
			FMISProfile struct {
				Field word
			}
		}
		EventSamples struct {
			Soil struct {
				DepthRefs []struct {
					DepthID, StartingDepth, EndingDepth, DepthUnit word
				}
				// SoilSamples are kept as they stand, so that the line of each can be found.
				SoilSamples []json.RawMessage
			}
		}
	}
}

type sampleJSON struct {
	SampleMetaData struct {
		SampleNumber, FMISSampleID, SampleContainerID, ReportID word
	}
	Depths []struct {
		DepthID         word
		NutrientResults []struct {
			Element, Value, ValueUnit, ModusTestID, ValueType word
		}
	}
}

func readJSON(data []byte, r *report) (events []event) {
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	var in reportJSON
	if err := json.Unmarshal(data, &in); err != nil {
		r.wrong(place{lineOf(data, err), ""}, "the file is not readable as JSON of the exchange standard: "+err.Error(), "", "Events with EventSamples, as the standard's JSON form has them")
		return nil
	}
	if len(in.Events) == 0 {
		r.wrong(place{1, ""}, "the file has no Events, so it is not of the exchange standard", "", "Events with EventSamples, as the standard's JSON form has them")
		return nil
	}
	at, line := 0, 1
	for _, v := range in.Events {
		e := event{
			day: string(v.EventMetaData.EventDate), lab: string(v.LabMetaData.LabName), field: string(v.FMISMetaData.FMISProfile.Field),
			layers: map[string]stdLayer{},
		}
		for _, d := range v.EventSamples.Soil.DepthRefs {
			e.layers[string(d.DepthID)] = stdLayer{string(d.StartingDepth), string(d.EndingDepth), string(d.DepthUnit)}
		}
		for _, raw := range v.EventSamples.Soil.SoilSamples {
			if i := bytes.Index(data[at:], raw); i >= 0 {
				line += bytes.Count(data[at:at+i], []byte{'\n'})
				at += i
			}
			from := line
			line += bytes.Count(raw, []byte{'\n'})
			at = min(at+len(raw), len(data))
			s, err := sampleOfJSON(raw, from)
			if err != nil {
				r.wrong(place{from, ""}, "the sample cannot be read: "+err.Error(), "", "a sample as the standard's JSON form has it")
				continue
			}
			e.samples = append(e.samples, s)
		}
		events = append(events, e)
	}
	return events
}

func sampleOfJSON(raw []byte, line int) (stdSample, error) {
	var v sampleJSON
	if err := json.Unmarshal(raw, &v); err != nil {
		return stdSample{}, err
	}
	m := v.SampleMetaData
	s := stdSample{line: line, ids: map[string]string{
		"SampleNumber": string(m.SampleNumber), "FMISSampleID": string(m.FMISSampleID),
		"SampleContainerID": string(m.SampleContainerID), "ReportID": string(m.ReportID),
	}}
	for _, d := range v.Depths {
		depth := stdDepth{id: string(d.DepthID)}
		for _, n := range d.NutrientResults {
			depth.results = append(depth.results, stdResult{
				line: line, element: string(n.Element), value: string(n.Value), unit: string(n.ValueUnit), test: string(n.ModusTestID), kind: string(n.ValueType),
			})
		}
		s.depths = append(s.depths, depth)
	}
	return s, nil
}

// lineOf is the line at which JSON stopped being readable.
func lineOf(data []byte, err error) int {
	offset := int64(0)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
	}
	return 1 + bytes.Count(data[:min(int(offset), len(data))], []byte{'\n'})
}
