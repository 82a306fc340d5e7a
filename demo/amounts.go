package demo

import (
	"math/big"
	"strconv"

	"culm/agronomy/unit"
	"culm/season"
)

// What a person writes as 45 lb/ac is the number 45 times an exact factor, rounded once to a float64. A
// season folder reads it so, and a folder made of these entries shows 45 again and not 45.00000000000001.

// written turns a number as people write it into a base unit that is num ÷ den times as large.
func written(number float64, num, den int64) float64 {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(number, 'f', -1, 64))
	v, _ := r.Mul(r, big.NewRat(num, den)).Float64()
	return v
}

// A pound is 0.45359237 kg and an acre 0.40468564224 ha.
const (
	poundPerAcreNum, poundPerAcreDen = 45359237000, 40468564224
	poundNum, poundDen               = 45359237, 100000000
	acreNum, acreDen                 = 40468564224, 100000000000
)

func poundsPerAcre(x float64) unit.Rate {
	return unit.Rate(written(x, poundPerAcreNum, poundPerAcreDen))
}

func bushelsPerAcre(x float64, c season.Crop) unit.Yield {
	return unit.Yield(written(x, bushel(c)*poundPerAcreNum, poundPerAcreDen))
}

// bushel is the mass of a crop's bushel in pounds.
func bushel(c season.Crop) int64 {
	if c == season.Canola {
		return 50
	}
	return 60
}

func acresOf(x float64) unit.Area           { return unit.Area(written(x, acreNum, acreDen)) }
func poundsOf(x float64) unit.Mass          { return unit.Mass(written(x, poundNum, poundDen)) }
func percent(x float64) unit.Fraction       { return unit.Fraction(written(x, 1, 100)) }
func inchesDeep(x float64) unit.Length      { return unit.Length(written(x, 254, 10000)) }
func feet(x float64) unit.Length            { return unit.Length(written(x, 3048, 10000)) }
func centimetres(x float64) unit.Length     { return unit.Length(written(x, 1, 100)) }
func inchesOfWater(x float64) unit.Water    { return unit.Water(written(x, 254, 10)) }
func milesPerHour(x float64) unit.Speed     { return unit.Speed(written(x, 44704, 100000)) }
func fahrenheit(x float64) unit.Temperature { return unit.Temperature(written(x-32, 5, 9)) }

func freshMass(kilogramsPerSquareMetre float64) unit.Biomass {
	return unit.Biomass(written(kilogramsPerSquareMetre, 10000, 1))
}

// perPounds is a price of so many dollars for so many pounds.
func perPounds(dollars float64, pounds int64) unit.PricePerMass {
	return unit.PricePerMass(written(dollars, poundDen, pounds*poundNum))
}

func dollarsPerAcre(x float64) unit.MoneyPerArea {
	return unit.MoneyPerArea(written(x, acreDen, acreNum))
}
