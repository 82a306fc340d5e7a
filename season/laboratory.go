package season

import (
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Soil is a laboratory's result for one sample at one depth.
type Soil struct {
	Sample string       `json:"sample"` // the laboratory's or the sampler's id
	Field  string       `json:"field"`
	Day    calendar.Day `json:"day"` // sampled
	Lab    string       `json:"lab,omitempty"`
	// Zone names the part of the field that the sample speaks for; empty where it speaks for all of it.
	Zone   string      `json:"zone,omitempty"`
	Top    unit.Length `json:"top"`
	Bottom unit.Length `json:"bottom"`
	// SoilMass is the mass of soil by which the laboratory turned what it measured into lb/ac or kg/ha. It was
	// used to turn that back into ppm; zero where the laboratory printed ppm.
	SoilMass unit.PoundsPerMillion `json:"soilMass,omitempty"`
	Results  []Result              `json:"results"`
}

// Result is one number of a soil test.
type Result struct {
	Analyte Analyte `json:"analyte"`
	// Value is in the unit that the analyte's name implies: see Analyte.Unit.
	Value float64 `json:"value"`
	// Method is how it was measured, where that matters: an extractant, or extractant and detection, such as
	// mehlich-3-icp. See Analyte.Methods. Empty where nobody knows.
	Method string `json:"method,omitempty"`
	// Below marks a value under the laboratory's detection limit, which Value then is.
	Below bool `json:"below,omitempty"`
}

// Kind implements Body.
func (*Soil) Kind() Kind { return KindSoil }

// Subject implements Body. The day is part of it: laboratories and samplers number every sampling from 1.
func (s *Soil) Subject() string {
	return s.Field + "/" + s.Sample + "/" + s.Day.String() + "/" + s.top()
}

func (s *Soil) top() string { return strconv.FormatFloat(float64(s.Top), 'g', -1, 64) }

// Find gives the result for an analyte.
func (s *Soil) Find(a Analyte) (Result, bool) {
	for _, r := range s.Results {
		if r.Analyte == a {
			return r, true
		}
	}
	return Result{}, false
}

// Analyte is what a laboratory measured. Unit and basis belong to the name.
type Analyte string

// The analytes.
const (
	NitrateN      Analyte = "nitrate-n"      // ppm NO3-N
	AmmoniumN     Analyte = "ammonium-n"     // ppm NH4-N
	OrganicMatter Analyte = "organic-matter" // fraction
	PH            Analyte = "ph"             // in water 1:1 unless Method says otherwise
	BufferPH      Analyte = "buffer-ph"      // see Method: each buffer has a scale of its own
	Phosphorus    Analyte = "phosphorus"     // ppm P
	Potassium     Analyte = "potassium"      // ppm K
	SulfateS      Analyte = "sulfate-s"      // ppm SO4-S
	Chloride      Analyte = "chloride"       // ppm Cl
	Zinc          Analyte = "zinc"           // ppm
	Aluminium     Analyte = "aluminium"      // ppm, KCl-extractable unless Method says otherwise
	Calcium       Analyte = "calcium"        // ppm
	Magnesium     Analyte = "magnesium"      // ppm
	Sodium        Analyte = "sodium"         // ppm
	Copper        Analyte = "copper"         // ppm
	Boron         Analyte = "boron"          // ppm
	Iron          Analyte = "iron"           // ppm
	Manganese     Analyte = "manganese"      // ppm
	CEC           Analyte = "cec"            // cation exchange capacity, meq/100 g, the same number as cmol(+)/kg
	Acidity       Analyte = "acidity"        // by buffer, meq/100 cm3, as the Mehlich method of North Carolina gives it
	SolubleSalts  Analyte = "soluble-salts"  // electrical conductivity, dS/m, the same number as mmho/cm
	Carbonate     Analyte = "carbonate"      // free lime, fraction as CaCO3
)

// Analytes lists the analytes in the order of tables and reports.
func Analytes() []Analyte {
	return []Analyte{
		NitrateN, AmmoniumN, OrganicMatter, PH, BufferPH, Phosphorus, Potassium, SulfateS, Chloride, Zinc, Aluminium,
		Calcium, Magnesium, Sodium, Copper, Boron, Iron, Manganese, CEC, Acidity, SolubleSalts, Carbonate,
	}
}

// Known says that the analyte is one of Analytes.
func (a Analyte) Known() bool { return slices.Contains(Analytes(), a) }

// Unit names the unit of an analyte's value: "ppm"; "share" for a fraction of one; "" for a pH.
func (a Analyte) Unit() string {
	switch a {
	case OrganicMatter, Carbonate:
		return "share"
	case PH, BufferPH:
		return ""
	case CEC:
		return "meq/100 g"
	case Acidity:
		return "meq/100 cm3"
	case SolubleSalts:
		return "dS/m"
	default:
		return "ppm"
	}
}

// Believed gives the bounds within which a result is believed, in the analyte's own unit; common practice, no
// source.
func Believed(a Analyte) (low, high float64) {
	switch a {
	case PH:
		return 2.5, 11
	case BufferPH:
		return 3, 8.5
	case OrganicMatter, Carbonate:
		return 0, 1
	case CEC, Acidity:
		return 0, 300
	case SolubleSalts:
		return 0, 200
	default:
		return 0, 1e5
	}
}

// UnknownMethod says that nobody can find out how a result was measured, where an empty Method would say that
// it was measured in the usual way: of pH and aluminium.
const UnknownMethod = "unknown"

// The names of methods that formulas and rulebooks ask for. Mehlich3 alone says that nobody told how the
// phosphorus in the extract was measured; plasma (ICP) finds more than color does, because it also counts what
// is bound in organic matter.
const (
	Mehlich3             = "mehlich-3"
	Mehlich3ICP          = "mehlich-3-icp"
	Mehlich3Colorimetric = "mehlich-3-colorimetric"
	Bray1                = "bray-1"
	Olsen                = "olsen"
	AmmoniumAcetate      = "ammonium-acetate"
	DTPA                 = "dtpa"

	WaterOneToOne   = "water-1:1"
	CalciumChloride = "cacl2"

	SikoraBuffer     = "sikora"
	SMPBuffer        = "smp"
	MehlichBuffer    = "mehlich"
	AdamsEvansBuffer = "adams-evans"
)

// Methods lists the methods that are known for an analyte, as Result.Method names them. A laboratory may have
// others; they are kept, but no critical level or rule is known to hold for them.
func (a Analyte) Methods() []string {
	bases := []string{AmmoniumAcetate, Mehlich3, Mehlich3ICP, "mehlich-1", "morgan", "modified-morgan", "cal", "dl"}
	traces := []string{DTPA, Mehlich3, Mehlich3ICP, "mehlich-1", "hcl", "edta"}
	switch a {
	case Phosphorus:
		return []string{
			Mehlich3ICP, Mehlich3Colorimetric, Mehlich3, Bray1, "bray-2", Olsen, "mehlich-1", "morgan", "modified-morgan",
			"h3a", "resin", "cal", "dl",
		}
	case Potassium:
		return append(bases, Olsen, "resin")
	case Calcium, Magnesium, Sodium:
		return bases
	case Zinc, Copper, Iron, Manganese:
		return traces
	case Boron:
		return []string{"hot-water", Mehlich3, Mehlich3ICP, "dtpa-sorbitol"}
	case SulfateS:
		return []string{"calcium-phosphate", Mehlich3, Mehlich3ICP, AmmoniumAcetate, "water", "kcl"}
	case PH:
		return []string{WaterOneToOne, "water-1:2", "water-1:2.5", "water-1:5", "saturated-paste", CalciumChloride, "kcl"}
	case BufferPH:
		return []string{SikoraBuffer, SMPBuffer, MehlichBuffer, AdamsEvansBuffer, "woodruff", "moore-sikora"}
	case Acidity:
		return []string{MehlichBuffer}
	case OrganicMatter:
		return []string{"loss-on-ignition", "walkley-black", "combustion"}
	case Aluminium:
		return []string{"kcl", CalciumChloride, Mehlich3, Mehlich3ICP}
	case CEC:
		return []string{"sum-of-cations", AmmoniumAcetate, "barium-chloride"}
	case SolubleSalts:
		return []string{"water-1:1", "water-1:2", "water-1:5", "saturated-paste"}
	case NitrateN, AmmoniumN:
		return []string{"kcl", "water", "calcium-sulfate", CalciumChloride}
	case Chloride:
		return []string{"water", "calcium-sulfate", "calcium-nitrate"}
	case Carbonate:
		return []string{"pressure-calcimeter", "acid-neutralization"}
	default:
		return nil
	}
}

// NeedsMethod says that the number means little without the method: two extractants, buffers or suspensions
// give numbers that differ by soil. Nitrate, ammonium, chloride and free lime come out much alike by all.
func (a Analyte) NeedsMethod() bool {
	switch a {
	case NitrateN, AmmoniumN, Chloride, Carbonate:
		return false
	default:
		return true
	}
}

// MethodName brings the name of a method to the form results use: "Mehlich 3 ICP" is mehlich-3-icp.
func MethodName(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_'
	}), "-")
}

// Extractant is a method without the detection that follows it: of mehlich-3-icp, mehlich-3.
func Extractant(method string) string {
	name := MethodName(method)
	for _, detection := range []string{"-icp", "-colorimetric"} {
		if extractant, has := strings.CutSuffix(name, detection); has {
			return extractant
		}
	}
	return name
}
