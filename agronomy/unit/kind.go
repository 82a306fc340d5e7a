package unit

// Kind says what a number measures. It decides the base unit a number is kept in and the unit and number
// of decimals it is shown with.
type Kind string

// The kinds. Yield and grain prices come in three forms because a bushel is a mass only once the crop is
// known: plain (kg, lb), wheat (60 lb bushel) and canola (50 lb bushel). A fraction shown in whole percent is
// KindFraction (losses, cover, stand); where a hundredth of a percent counts, as for nitrogen in grain or
// organic matter, it is KindShare. KindCoefficient is a bare number of any size, shown to three digits.
const (
	KindRate          Kind = "nutrient-rate"
	KindLimeRate      Kind = "lime-rate" // a Rate shown in tons
	KindYield         Kind = "yield"
	KindWheatYield    Kind = "wheat-yield"
	KindCanolaYield   Kind = "canola-yield"
	KindPerYield      Kind = "nitrogen-per-yield"
	KindPerWheat      Kind = "nitrogen-per-wheat-yield"
	KindPerCanola     Kind = "nitrogen-per-canola-yield"
	KindGain          Kind = "live-weight-gain"
	KindBiomass       Kind = "biomass"
	KindMass          Kind = "mass"
	KindArea          Kind = "area"
	KindLength        Kind = "length"
	KindWater         Kind = "water"
	KindTemperature   Kind = "temperature"
	KindDegreeDays    Kind = "degree-days"
	KindDays          Kind = "days"
	KindConcentration Kind = "concentration"
	KindFraction      Kind = "fraction"
	KindShare         Kind = "share"
	KindRatio         Kind = "ratio"
	KindIndex         Kind = "index"
	KindCoefficient   Kind = "coefficient"
	KindDensity       Kind = "density"
	KindVolume        Kind = "volume"
	KindVolumePerArea Kind = "volume-per-area"
	KindSpeed         Kind = "speed"
	KindFlow          Kind = "flow"
	KindPressure      Kind = "pressure"
	KindMoney         Kind = "money"
	KindMoneyPerArea  Kind = "money-per-area"
	KindPrice         Kind = "price"
	KindNutrientPrice Kind = "nutrient-price"
	KindWheatPrice    Kind = "wheat-price"
	KindCanolaPrice   Kind = "canola-price"
	KindProductRate   Kind = "product-rate"
	KindProductPrice  Kind = "product-price"
	KindPassPrice     Kind = "pass-price" // money per area, with cents
)

// Kind implements Quantity.
func (Rate) Kind() Kind { return KindRate }

// Kind implements Quantity. A yield whose crop is known is shown in that crop's bushels: see KindWheatYield.
func (Yield) Kind() Kind { return KindYield }

// Kind implements Quantity. Where the crop is known it is shown per bushel: see KindPerWheat.
func (NitrogenPerYield) Kind() Kind { return KindPerYield }

// Kind implements Quantity.
func (Gain) Kind() Kind { return KindGain }

// Kind implements Quantity.
func (Biomass) Kind() Kind { return KindBiomass }

// Kind implements Quantity.
func (Mass) Kind() Kind { return KindMass }

// Kind implements Quantity.
func (Area) Kind() Kind { return KindArea }

// Kind implements Quantity.
func (Length) Kind() Kind { return KindLength }

// Kind implements Quantity.
func (Water) Kind() Kind { return KindWater }

// Kind implements Quantity.
func (Temperature) Kind() Kind { return KindTemperature }

// Kind implements Quantity.
func (DegreeDays) Kind() Kind { return KindDegreeDays }

// Kind implements Quantity.
func (Days) Kind() Kind { return KindDays }

// Kind implements Quantity.
func (Concentration) Kind() Kind { return KindConcentration }

// Kind implements Quantity.
func (Fraction) Kind() Kind { return KindFraction }

// Kind implements Quantity.
func (Ratio) Kind() Kind { return KindRatio }

// Kind implements Quantity.
func (Index) Kind() Kind { return KindIndex }

// Kind implements Quantity.
func (Density) Kind() Kind { return KindDensity }

// Kind implements Quantity.
func (Volume) Kind() Kind { return KindVolume }

// Kind implements Quantity.
func (VolumePerArea) Kind() Kind { return KindVolumePerArea }

// Kind implements Quantity.
func (Speed) Kind() Kind { return KindSpeed }

// Kind implements Quantity.
func (Flow) Kind() Kind { return KindFlow }

// Kind implements Quantity.
func (Pressure) Kind() Kind { return KindPressure }

// Kind implements Quantity.
func (Money) Kind() Kind { return KindMoney }

// Kind implements Quantity.
func (MoneyPerArea) Kind() Kind { return KindMoneyPerArea }

// Kind implements Quantity. A grain price whose crop is known is shown per bushel: see KindWheatPrice.
func (PricePerMass) Kind() Kind { return KindPrice }

// System is the set of units a person reads.
type System string

// The two systems. US is the default at every door.
const (
	US     System = "us"
	Metric System = "metric"
)

// scale says how a kind is shown in one system: shown = base*factor + offset.
type scale struct {
	symbol   string
	factor   float64
	offset   float64
	decimals int
	digits   int    // significant digits at least, where the size of the number is not known beforehand
	prefix   string // stands before the number, such as a currency sign
}

// both is the table of what people read: US customary first, metric second.
type both struct{ us, metric scale }

func same(s scale) both { return both{s, s} }

func scaleOf(k Kind, s System) scale {
	pair, ok := scales(k)
	if !ok {
		return scale{factor: 1, decimals: 2}
	}
	if s == Metric {
		return pair.metric
	}
	return pair.us
}

// scales is a switch and not a map so that the package keeps no variable that someone could write to.
func scales(k Kind) (both, bool) {
	const money = "$"
	switch k {
	case KindRate, KindProductRate:
		return both{scale{symbol: "lb/ac", factor: 1 / poundPerAcre}, scale{symbol: "kg/ha", factor: 1}}, true
	case KindLimeRate:
		return both{scale{symbol: "ton/ac", factor: 1 / (2000 * poundPerAcre), decimals: 1}, scale{symbol: "t/ha", factor: 0.001, decimals: 1}}, true
	case KindYield:
		return both{scale{symbol: "lb/ac", factor: 1 / poundPerAcre}, scale{symbol: "t/ha", factor: 0.001, decimals: 2}}, true
	case KindWheatYield:
		return both{scale{symbol: "bu/ac", factor: 1 / (60 * poundPerAcre), decimals: 1}, scale{symbol: "t/ha", factor: 0.001, decimals: 2}}, true
	case KindCanolaYield:
		return both{scale{symbol: "bu/ac", factor: 1 / (50 * poundPerAcre), decimals: 1}, scale{symbol: "t/ha", factor: 0.001, decimals: 2}}, true
	case KindPerYield:
		return both{scale{symbol: "lb/lb", factor: 1, decimals: 4}, scale{symbol: "kg/t", factor: 1000, decimals: 1}}, true
	case KindPerWheat:
		return both{scale{symbol: "lb/bu", factor: 60, decimals: 2}, scale{symbol: "kg/t", factor: 1000, decimals: 1}}, true
	case KindPerCanola:
		return both{scale{symbol: "lb/bu", factor: 50, decimals: 2}, scale{symbol: "kg/t", factor: 1000, decimals: 1}}, true
	case KindGain:
		return both{scale{symbol: "lb/ac", factor: 1 / poundPerAcre}, scale{symbol: "kg/ha", factor: 1}}, true
	case KindBiomass:
		return both{scale{symbol: "lb/ac", factor: 1 / poundPerAcre}, scale{symbol: "kg/ha", factor: 1}}, true
	case KindMass:
		return both{scale{symbol: "lb", factor: 1 / kilogramsPerPound}, scale{symbol: "kg", factor: 1}}, true
	case KindArea:
		return both{scale{symbol: "ac", factor: 1 / hectaresPerAcre, decimals: 1}, scale{symbol: "ha", factor: 1, decimals: 1}}, true
	case KindLength:
		return both{scale{symbol: "in", factor: 1 / 0.0254, decimals: 1}, scale{symbol: "cm", factor: 100, decimals: 1}}, true
	case KindWater:
		return both{scale{symbol: "in", factor: 1 / 25.4, decimals: 2}, scale{symbol: "mm", factor: 1, decimals: 1}}, true
	case KindTemperature:
		return both{scale{symbol: "°F", factor: 1.8, offset: 32}, scale{symbol: "°C", factor: 1, decimals: 1}}, true
	case KindDegreeDays:
		return both{scale{symbol: "°F·d", factor: 1.8}, scale{symbol: "°C·d", factor: 1}}, true
	case KindDays:
		return same(scale{symbol: "d", factor: 1}), true
	case KindConcentration:
		return same(scale{symbol: "ppm", factor: 1, decimals: 1}), true
	case KindFraction:
		return same(scale{symbol: "%", factor: 100}), true
	case KindShare:
		return same(scale{symbol: "%", factor: 100, decimals: 2}), true
	case KindRatio:
		return same(scale{factor: 1, decimals: 2}), true
	case KindIndex:
		return same(scale{factor: 1, decimals: 3}), true
	case KindCoefficient:
		return same(scale{factor: 1, digits: 3}), true
	case KindDensity:
		return both{scale{symbol: "lb/gal", factor: litresPerGallon / kilogramsPerPound, decimals: 2}, scale{symbol: "kg/L", factor: 1, decimals: 3}}, true
	case KindVolume:
		return both{scale{symbol: "gal", factor: 1 / litresPerGallon}, scale{symbol: "L", factor: 1}}, true
	case KindVolumePerArea:
		return both{scale{symbol: "gal/ac", factor: hectaresPerAcre / litresPerGallon, decimals: 1}, scale{symbol: "L/ha", factor: 1}}, true
	case KindSpeed:
		return both{scale{symbol: "mph", factor: 1 / 0.44704}, scale{symbol: "km/h", factor: 3.6}}, true
	case KindFlow:
		return both{scale{symbol: "gal/min", factor: 1 / litresPerGallon, decimals: 3}, scale{symbol: "L/min", factor: 1, decimals: 2}}, true
	case KindPressure:
		return both{scale{symbol: "psi", factor: 1 / kilopascalsPerPSI}, scale{symbol: "bar", factor: 0.01, decimals: 1}}, true
	case KindMoney:
		return same(scale{prefix: money, factor: 1}), true
	case KindMoneyPerArea:
		return both{scale{prefix: money, symbol: "/ac", factor: hectaresPerAcre}, scale{prefix: money, symbol: "/ha", factor: 1}}, true
	case KindPassPrice:
		return both{scale{prefix: money, symbol: "/ac", factor: hectaresPerAcre, decimals: 2}, scale{prefix: money, symbol: "/ha", factor: 1, decimals: 2}}, true
	case KindPrice, KindNutrientPrice:
		return both{scale{prefix: money, symbol: "/lb", factor: kilogramsPerPound, decimals: 2}, scale{prefix: money, symbol: "/kg", factor: 1, decimals: 2}}, true
	case KindProductPrice:
		return both{scale{prefix: money, symbol: "/ton", factor: 2000 * kilogramsPerPound}, scale{prefix: money, symbol: "/t", factor: 1000}}, true
	case KindWheatPrice:
		return both{scale{prefix: money, symbol: "/bu", factor: 60 * kilogramsPerPound, decimals: 2}, scale{prefix: money, symbol: "/t", factor: 1000}}, true
	case KindCanolaPrice:
		return both{scale{prefix: money, symbol: "/bu", factor: 50 * kilogramsPerPound, decimals: 2}, scale{prefix: money, symbol: "/t", factor: 1000}}, true
	default:
		return both{}, false
	}
}
