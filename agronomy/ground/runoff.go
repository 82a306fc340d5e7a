package ground

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
)

// CurveNumber says how much of a rain a ground sheds, from just above 0 (none) to 100 (all), as the Natural
// Resources Conservation Service defines it [cite.TR55].
type CurveNumber float64

// Retention is the rain that the ground could hold at most (TR-55, Eq. 2-4): 25400/CN - 254 mm. It refuses a number
// that is no curve number.
func (cn CurveNumber) Retention() (unit.Water, error) {
	if !(cn > 0 && cn <= 100) {
		return 0, fmt.Errorf("ground: curve number is %v; expected above 0 and at most 100", float64(cn))
	}
	return cn.retention(), nil
}

func (cn CurveNumber) retention() unit.Water { return unit.Water(25400/float64(cn) - 254) }

// curveOf is the curve number that retains so much.
func curveOf(retention unit.Water) CurveNumber {
	return CurveNumber(25400 / (float64(retention) + 254))
}

// Runoff is the part of a day's rain that runs off ground with that retention (TR-55, Eq. 2-3): nothing until a
// fifth of the retention is filled.
func Runoff(rain, retention unit.Water) unit.Water {
	p, s := float64(rain), float64(retention)
	if p <= 0.2*s {
		return 0
	}
	return unit.Water((p - 0.2*s) * (p - 0.2*s) / (p + 0.8*s))
}

// Dry and Wet are the curve numbers of the same ground when it is dry and when it is wet, by the equations of ASCE
// Manual 70 (Eqs. 14-14 and 14-15 [cite.ASCE70]).
func (cn CurveNumber) Dry() CurveNumber { return cn / (2.281 - 0.01281*cn) }

// Wet is the curve number of wet ground: see Dry.
func (cn CurveNumber) Wet() CurveNumber { return cn / (0.427 + 0.00573*cn) }

// Driest and Wettest are the same by the equations of a public watershed model [cite.WatershedCode]. Both pairs
// follow the table of the Soil Conservation Service; they differ by one or two numbers.
func (cn CurveNumber) Driest() CurveNumber {
	c := 100 - float64(cn)
	return CurveNumber(max(0.4*float64(cn), float64(cn)-20*c/(c+math.Exp(2.533-0.0636*c))))
}

// Wettest is the curve number of wet ground: see Driest.
func (cn CurveNumber) Wettest() CurveNumber {
	return CurveNumber(float64(cn) * math.Exp(0.006729*(100-float64(cn))))
}

// Frozen is the curve number of frozen ground, from that of the same ground open on the day
// [cite.FrozenCurveNumber]: nearly all rain runs off, and with it what lies on the ground. The most the ground
// could hold is its retention when driest.
func (cn CurveNumber) Frozen(open CurveNumber) CurveNumber {
	const coefficient = 0.000862 // per mm; from memory
	most, now := float64(cn.Driest().retention()), float64(open.retention())
	return curveOf(unit.Water(most * (1 - math.Exp(-coefficient*now))))
}

// On is the curve number of a day, between Dry and Wet by how much the surface layer has dried (ASCE Manual 70,
// Eqs. 14-18 to 14-20 [cite.ASCE70]): wet while less than half of the readily evaporable water is gone, dry once
// all of that and 30 % of the rest is gone.
func (cn CurveNumber) On(dried, readily, total unit.Water) CurveNumber {
	wet, dry := 0.5*readily, 0.7*readily+0.3*total
	switch {
	case dried <= wet:
		return cn.Wet()
	case dried >= dry:
		return cn.Dry()
	default:
		share := CurveNumber((dried - wet) / (dry - wet))
		return share*cn.Dry() + (1-share)*cn.Wet()
	}
}
