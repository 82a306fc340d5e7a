package guidance

// What names an input as a book's file does, or what a term of a sum stands for.
type What string

// The vocabulary: what a notebook can fill.
const (
	YieldGoal      What = "yieldGoal"
	Nitrate        What = "nitrate"     // NO3-N in the soil, mass per area
	NitrateMean    What = "nitrateMean" // its mean concentration over the depth
	Ammonium       What = "ammonium"    // NH4-N
	OrganicMatter  What = "organicMatter"
	PreviousCrop   What = "previousCrop" // a word
	Tillage        What = "tillage"      // a word, as season.Tillage
	Stubble        What = "stubble"
	LiveGain       What = "gain"
	Applied        What = "applied"       // nitrogen already spread, as far as the other inputs do not show it
	AppliedInFall  What = "appliedInFall" // the part of it spread in fall
	GrainPrice     What = "grainPrice"
	NitrogenPrice  What = "nitrogenPrice"
	Response       What = "response" // response index
	Reading        What = "reading"  // sensor index beside the reference
	GrowingDays    What = "growingDays"
	MaximumYield   What = "maximumYield"
	Efficiency     What = "efficiency"
	FreshMass      What = "freshMass"
	LastRate       What = "lastRate" // of the ramp's last strip that still looked better
	PH             What = "ph"
	BufferPH       What = "bufferPH"
	Acidity        What = "acidity" // Mehlich buffer acidity
	PhosphorusTest What = "phosphorus"
	PotassiumTest  What = "potassium"
	SulfateTest    What = "sulfate"
	ChlorideTest   What = "chloride"
	ZincTest       What = "zinc"
	CopperTest     What = "copper"
	BoronTest      What = "boron"
	IronTest       What = "iron"
	ManganeseTest  What = "manganese"
	Aluminium      What = "aluminium"
	CEC            What = "cec"
	Texture        What = "texture" // a word
	LimeDepth      What = "limeDepth"
	TargetPH       What = "targetPH"
	PhosphatePrice What = "phosphatePrice"
	PotashPrice    What = "potashPrice"
	Heads          What = "heads"
	LiveMass       What = "liveMass"
	GrazingDays    What = "grazingDays"
	Area           What = "area"

	// Only for terms: the constant of a form, and what crop and soil have shown they supply of themselves.
	TheConstant What = "constant"
	CropAndSoil What = "cropAndSoil"
)
