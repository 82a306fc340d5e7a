package fertilizer

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// The table of products. A function for each, because the lower floor keeps no variables.

// poundPerCubicFoot is the unit in which bulk densities are printed: 1 ft3 is 1728 in3, a gallon 231 in3.
const poundPerCubicFoot = unit.PoundPerGallon * 231 / 1728

func urea() Product {
	return Product{
		Key: UreaKey, Name: "urea 46-0-0", Form: Dry,
		Nitrogen: grade(46), Sulfur: grade(0),
		Urea: only(), Ammonium: none(), Nitrate: none(),
		Density: Published[unit.Density]{
			Value: 46 * poundPerCubicFoot, Low: 44 * poundPerCubicFoot, High: 48 * poundPerCubicFoot,
			Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "bulk, 44 to 48 lb/ft³",
		},
		Cautions: []Caution{
			{"surface-loss", "Part of it is lost as ammonia when it lies on the surface without a soaking rain.", cite.MontanaVolatilization, cite.Confirmed},
			{"damp-air", "Takes up water from air above 72 % relative humidity; cover it, and spread it dry.", cite.MaterialsSheet, cite.Confirmed},
			{"oxidizer-mix", "Never mix dry urea with ammonium nitrate: the mixture turns to liquid.", cite.Practice, cite.FromMemory},
		},
	}
}

// inhibitedUrea is urea treated with NBPT; what it adds to the mass is too little to change the grade.
func inhibitedUrea() Product {
	p := urea()
	p.Key, p.Name, p.Inhibited = InhibitedUreaKey, "urea 46-0-0 with inhibitor", true
	p.Cautions[0] = Caution{
		"surface-loss", "The inhibitor cut the loss of urea on the surface by about two thirds, for two to three weeks on acid soil and longer on alkaline; a soaking rain is needed still.",
		cite.MontanaVolatilization, cite.Confirmed,
	}
	return p
}

func uan28() Product {
	return Product{
		Key: UAN28Key, Name: "UAN solution 28-0-0", Form: Liquid,
		Nitrogen: grade(28), Sulfur: grade(0),
		Urea:     Published[unit.Fraction]{Value: 0.50, Source: cite.MaterialsSheet, Status: cite.Confirmed},
		Ammonium: Published[unit.Fraction]{Value: 0.25, Source: cite.MaterialsSheet, Status: cite.Confirmed},
		Nitrate:  Published[unit.Fraction]{Value: 0.25, Source: cite.MaterialsSheet, Status: cite.Confirmed},
		Density: Published[unit.Density]{
			Value: 10.65 * unit.PoundPerGallon, Source: cite.NebraskaNozzle, Status: cite.Confirmed, Note: "at 60 °F",
			Others: []Published[unit.Density]{{Value: 10.67 * unit.PoundPerGallon, Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "at 60 °F"}},
		},
		SaltOut:  Published[unit.Temperature]{Value: unit.Fahrenheit(-1), Source: cite.MaterialsSheet, Status: cite.Confirmed},
		Cautions: solutionCautions(),
	}
}

func uan32() Product {
	// 45 % ammonium nitrate and 35 % urea by mass, as printed for 32 % solution.
	ureaShare := ureaShareOf(0.45, 0.35)
	half := (1 - ureaShare) / 2 // ammonium nitrate carries as much N in the one form as in the other
	const note = "from 45 % ammonium nitrate, 35 % urea, 20 % water"
	return Product{
		Key: UAN32Key, Name: "UAN solution 32-0-0", Form: Liquid,
		Nitrogen: grade(32), Sulfur: grade(0),
		Urea:     Published[unit.Fraction]{Value: ureaShare, Source: cite.AlabamaANR174, Status: cite.Derived, Note: note},
		Ammonium: Published[unit.Fraction]{Value: half, Source: cite.AlabamaANR174, Status: cite.Derived, Note: note},
		Nitrate:  Published[unit.Fraction]{Value: half, Source: cite.AlabamaANR174, Status: cite.Derived, Note: note},
		Density:  Published[unit.Density]{Value: 11.06 * unit.PoundPerGallon, Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "at 60 °F"},
		SaltOut:  Published[unit.Temperature]{Value: unit.Fahrenheit(28), Source: cite.MaterialsSheet, Status: cite.Confirmed},
		Cautions: append(solutionCautions(),
			Caution{"salts-out-early", "Drops crystals already just below freezing; in winter the 28 % solution is the one to store.", cite.MaterialsSheet, cite.Derived}),
	}
}

func ammoniumSulfate() Product {
	return Product{
		Key: AmmoniumSulfateKey, Name: "ammonium sulfate 21-0-0-24S", Form: Dry,
		Nitrogen: grade(21), Sulfur: grade(24),
		Urea: none(), Ammonium: only(), Nitrate: none(),
		Density: Published[unit.Density]{
			Value: 64.5 * poundPerCubicFoot, Low: 63 * poundPerCubicFoot, High: 66 * poundPerCubicFoot,
			Source: cite.MaterialsSheet, Status: cite.Quoted, Note: "bulk crystal, 63 to 66 lb/ft³; the columns of the copy read are partly out of order",
		},
		Cautions: []Caution{
			{"acid", "The most acidifying of these products: 110 lb of lime to 100 lb of product.", cite.AlabamaANR174, cite.Confirmed},
			{"high-ph", "Above soil pH 7.5 part of its nitrogen can be lost as ammonia.", cite.CornellSulfate, cite.Confirmed},
		},
	}
}

func ammoniumThiosulfate() Product {
	return Product{
		Key: AmmoniumThiosulfateKey, Name: "ammonium thiosulfate 12-0-0-26S", Form: Liquid,
		Nitrogen: grade(12), Sulfur: grade(26),
		Urea: none(), Ammonium: only(), Nitrate: none(),
		Density: Published[unit.Density]{
			Value: 11.04 * unit.PoundPerGallon, Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "at 60 °F; the two sources disagree by 4 %",
			Others: []Published[unit.Density]{{Value: 11.5 * unit.PoundPerGallon, Source: cite.NebraskaNozzle, Status: cite.Confirmed, Note: "as listed for setting a sprayer"}},
		},
		SaltOut:   Published[unit.Temperature]{Value: unit.Fahrenheit(20), Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "printed as below 20 °F"},
		BlendOnly: true,
		BlendWhy: "It carries more than twice as much sulfur as nitrogen and burns leaves; it goes into UAN as the sulfur, " +
			"not onto the crop alone as the nitrogen (common practice, no source).",
		Cautions: []Caution{
			{"leaf-burn", "Burns leaves; stream it in a blend with UAN, in cool hours, on a dry crop.", cite.Practice, cite.CommonPractice},
			{"acid-mix", "Never mix with acid products: it breaks down and gives off sulfur dioxide.", cite.Practice, cite.FromMemory},
			{"no-inhibitor", "Does not reliably slow the loss of urea in the field.", cite.IllinoisResidue, cite.Confirmed},
		},
	}
}

func solutionCautions() []Caution {
	return []Caution{
		{"corrosion", "Eats brass, copper and mild steel; use stainless steel, plastic and aluminium, and rinse the sprayer.", cite.Practice, cite.FromMemory},
		{"leaf-burn", "Burns leaves when sprayed over them, most of all with a herbicide and past tillering.", cite.NebraskaLeafBurn, cite.Confirmed},
	}
}

// ureaShareOf is the share of a solution's nitrogen that is urea, from the mass fractions of ammonium
// nitrate (35.0 % N) and urea (46.65 % N, the pure substance) in it.
func ureaShareOf(ammoniumNitrate, urea float64) unit.Fraction {
	inUrea := 0.4665 * urea
	return unit.Fraction(inUrea / (inUrea + 0.35*ammoniumNitrate))
}

// grade is a percentage of the guaranteed analysis: it is the product's definition.
func grade(percent float64) Published[unit.Fraction] {
	return Published[unit.Fraction]{Value: unit.Fraction(percent) * unit.Percent, Source: cite.MaterialsSheet, Status: cite.Confirmed, Note: "guaranteed analysis"}
}

// only and none are the shares of N in a product of a single substance.
func only() Published[unit.Fraction] { return chemistry(1) }

func none() Published[unit.Fraction] { return chemistry(0) }

func chemistry(share unit.Fraction) Published[unit.Fraction] {
	return Published[unit.Fraction]{Value: share, Source: cite.MaterialsSheet, Status: cite.Derived, Note: "by its formula"}
}
