// Package unit gives every quantity of the trade a type of its own, so that a rate per acre cannot be
// handed over as a rate per hectare, nor an element as its oxide.
//
// Inside the program a quantity is a float64 in the metric base unit named at its type. The constants
// work like those of time.Duration: 30*unit.PoundPerAcre is a Rate. Conversion to what a person reads
// happens once, at the doors, through Show and System. Rounding happens only there.
//
// Conversion factors are exact by definition (international pound 0.45359237 kg, international acre
// 4046.8564224 m2, inch 25.4 mm, US gallon 3.785411784 L, standard gravity 9.80665 m/s2), not the rounded ones of bulletins.
package unit

// Quantity is any of the quantity types of this package.
type Quantity interface {
	~float64
	// Kind says what is measured, and so in which unit the number is and how it is shown.
	Kind() Kind
}

// Rate is a mass of nutrient per area, kg/ha. The nutrient is nitrogen (N) unless a name says otherwise;
// P and K rates are of the oxide only where a name says P2O5 or K2O.
type Rate float64

// Yield is harvested grain or seed as sold, kg/ha.
type Yield float64

// NitrogenPerYield is the nitrogen that goes with a mass of grain or seed, kg per kg: what guidance calls
// pounds per bushel.
type NitrogenPerYield float64

// Gain is live weight gained by cattle per area of pasture, kg/ha.
type Gain float64

// Biomass is plant matter per area, kg/ha; dry matter unless a name says fresh.
type Biomass float64

// Mass is in kg.
type Mass float64

// Area is in ha.
type Area float64

// Length is in m.
type Length float64

// Water is a depth of water or of snow, mm.
type Water float64

// Temperature is in degrees Celsius.
type Temperature float64

// DegreeDays is accumulated temperature above a base, degrees Celsius times days.
type DegreeDays float64

// Days is a count of days.
type Days float64

// Concentration is mass in mass of dry soil, mg/kg (ppm). Nitrate is as N, phosphorus and potassium as
// the element.
type Concentration float64

// Fraction is a share of one: 0.25 is 25 %.
type Fraction float64

// Ratio is a number without a unit, such as a response index or a pH.
type Ratio float64

// Index is a reading of greenness, such as NDVI: without unit, for a growing crop between 0 and 1.
type Index float64

// Density is in kg/L.
type Density float64

// Volume is in L.
type Volume float64

// VolumePerArea is in L/ha.
type VolumePerArea float64

// Speed is in m/s.
type Speed float64

// Flow is a volume of liquid in time, L/min.
type Flow float64

// Pressure is above that of the air, kPa.
type Pressure float64

// Money is in the currency of the season, without conversion.
type Money float64

// MoneyPerArea is currency per ha.
type MoneyPerArea float64

// PricePerMass is currency per kg of what is sold or bought.
type PricePerMass float64

// Factors to the base units.
const (
	KilogramPerHectare Rate = 1
	PoundPerAcre       Rate = poundPerAcre

	KilogramOfGrainPerHectare Yield = 1
	TonneOfGrainPerHectare    Yield = 1000
	PoundOfGrainPerAcre       Yield = poundPerAcre
	WheatBushelPerAcre        Yield = 60 * poundPerAcre // 60 lb, the US test weight
	CanolaBushelPerAcre       Yield = 50 * poundPerAcre // 50 lb

	NitrogenPoundPerWheatBushel  NitrogenPerYield = 1. / 60
	NitrogenPoundPerCanolaBushel NitrogenPerYield = 1. / 50
	NitrogenKilogramPerTonne     NitrogenPerYield = 0.001

	PoundOfGainPerAcre Gain = poundPerAcre

	KilogramOfMatterPerHectare     Biomass = 1
	PoundOfMatterPerAcre           Biomass = poundPerAcre
	KilogramOfMatterPerSquareMetre Biomass = 10000

	Kilogram Mass = 1
	Pound    Mass = kilogramsPerPound
	ShortTon Mass = 2000 * kilogramsPerPound
	Tonne    Mass = 1000

	Hectare Area = 1
	Acre    Area = hectaresPerAcre

	Metre Length = 1
	Inch  Length = 0.0254
	Foot  Length = 0.3048

	MillimetreOfWater Water = 1
	InchOfWater       Water = 25.4

	PartPerMillion Concentration = 1

	Percent Fraction = 0.01

	KilogramPerLitre Density = 1
	PoundPerGallon   Density = kilogramsPerPound / litresPerGallon

	Litre  Volume = 1
	Gallon Volume = litresPerGallon

	LitrePerHectare VolumePerArea = 1
	GallonPerAcre   VolumePerArea = litresPerGallon / hectaresPerAcre

	MetrePerSecond   Speed = 1
	KilometrePerHour Speed = 1 / 3.6
	MilePerHour      Speed = 0.44704

	LitrePerMinute  Flow = 1
	GallonPerMinute Flow = litresPerGallon

	Kilopascal         Pressure = 1
	Bar                Pressure = 100
	PoundPerSquareInch Pressure = kilopascalsPerPSI

	PerHectare MoneyPerArea = 1
	PerAcre    MoneyPerArea = 1 / hectaresPerAcre

	PerKilogram     PricePerMass = 1
	PerTonne        PricePerMass = 0.001
	PerPound        PricePerMass = 1 / kilogramsPerPound
	PerShortTon     PricePerMass = 1 / (2000 * kilogramsPerPound)
	PerWheatBushel  PricePerMass = 1 / (60 * kilogramsPerPound)
	PerCanolaBushel PricePerMass = 1 / (50 * kilogramsPerPound)
)

const (
	kilogramsPerPound = 0.45359237
	hectaresPerAcre   = 0.40468564224
	litresPerGallon   = 3.785411784
	poundPerAcre      = kilogramsPerPound / hectaresPerAcre
	kilopascalsPerPSI = kilogramsPerPound * 9.80665 / (0.0254 * 0.0254) / 1000 // pound-force on a square inch
)

// Fahrenheit gives the Temperature that reads f on a Fahrenheit scale.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Fahrenheit reads the temperature on a Fahrenheit scale.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// FahrenheitDays gives degree days accumulated in Fahrenheit.
func FahrenheitDays(f float64) DegreeDays { return DegreeDays(f / 1.8) }

// Fahrenheit gives the degree days in Fahrenheit times days.
func (d DegreeDays) Fahrenheit() float64 { return float64(d) * 1.8 }

// PoundsPerMillion is a convention for the mass of soil: how many million pounds an acre-inch weighs.
// Laboratories and bulletins use 0.3 (two million pounds to a furrow slice of about 6.7 in) or 1/3 (two
// million to 6 in); the figure travels with the recommendation it belongs to.
type PoundsPerMillion float64

// InSoil turns a concentration into the mass held in a layer, on the convention given:
// lb/ac = ppm * million lb per acre-inch * depth in inches.
func (c Concentration) InSoil(depth Length, perAcreInch PoundsPerMillion) Rate {
	return Rate(float64(c)*float64(perAcreInch)*float64(depth/Inch)) * PoundPerAcre
}
