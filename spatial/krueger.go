package spatial

import (
	"math"

	"culm/season"
)

// The transverse Mercator projection by the series of Krüger to the sixth order of the third flattening:
// Karney 2011, "Transverse Mercator with an accuracy of a few nanometers", Journal of Geodesy 85:475-485,
// eqs. 7 to 12, 19 to 21, 35 and 36. Equations and coefficients are from memory; the tests compare them
// with the definition of the projection, integrated numerically, and with a second implementation.

// The ellipsoid WGS 84: equatorial radius in metres and flattening, by definition.
const (
	equatorialRadius = 6378137.0
	flattening       = 1 / 298.257223563
	eccentricity2    = flattening * (2 - flattening)
	third            = flattening / (2 - flattening) // the third flattening, n
)

// rectifyingRadius is the radius of the circle as long as a meridian, m.
func rectifyingRadius() float64 {
	const n2 = third * third
	return equatorialRadius / (1 + third) * (1 + n2/4 + n2*n2/64 + n2*n2*n2/256)
}

// onSphere is a position on the sphere that keeps the angles of the ellipsoid, in the coordinates of the
// transverse Mercator map of that sphere, radians.
type onSphere struct {
	north, east float64
	spread      float64 // the scale of the sphere's map, upside down
}

func sphere(p season.Position, meridian float64) onSphere {
	tau := conformal(math.Tan(radians(p.Lat)))
	sin, cos := math.Sincos(radians(math.Remainder(p.Lon-meridian, 360)))
	spread := math.Hypot(tau, cos)
	return onSphere{north: math.Atan2(tau, cos), east: math.Asinh(sin / spread), spread: spread}
}

// conformal gives the tangent of the conformal latitude for that of the geodetic one.
func conformal(tau float64) float64 {
	e := math.Sqrt(eccentricity2)
	sigma := math.Sinh(e * math.Atanh(e*tau/math.Hypot(1, tau)))
	return tau*math.Hypot(1, sigma) - sigma*math.Hypot(1, tau)
}

// geodetic is the inverse of conformal, by Newton's method; two or three steps reach the last digit.
func geodetic(want float64) float64 {
	tau := want / (1 - eccentricity2)
	for range 8 {
		have := conformal(tau)
		step := (want - have) / math.Hypot(1, have) * (1 + (1-eccentricity2)*tau*tau) /
			((1 - eccentricity2) * math.Hypot(1, tau))
		tau += step
		if math.Abs(step) <= 1e-15*math.Max(1, math.Abs(tau)) {
			break
		}
	}
	return tau
}

// series are the coefficients of sin 2jx cosh 2jy, j from 1 to 6.
type series [6]float64

// shift is what the series adds to a place on the map of the sphere (x north, y east).
func (s series) shift(x, y float64) (dx, dy float64) {
	for j, a := range s {
		k := 2 * float64(j+1)
		dx += a * math.Sin(k*x) * math.Cosh(k*y)
		dy += a * math.Cos(k*x) * math.Sinh(k*y)
	}
	return dx, dy
}

// stretch is how much longer lengths become by the shift.
func (s series) stretch(x, y float64) float64 {
	along, across := 1.0, 0.0
	for j, a := range s {
		k := 2 * float64(j+1)
		along += k * a * math.Cos(k*x) * math.Cosh(k*y)
		across += k * a * math.Sin(k*x) * math.Sinh(k*y)
	}
	return math.Hypot(along, across)
}

// toPlane are the coefficients from the sphere to the plane (alpha, eq. 35).
func toPlane() series {
	const n = third
	return series{
		n * (1./2 + n*(-2./3+n*(5./16+n*(41./180+n*(-127./288+n*7891./37800))))),
		n * n * (13./48 + n*(-3./5+n*(557./1440+n*(281./630-n*1983433./1935360)))),
		n * n * n * (61./240 + n*(-103./140+n*(15061./26880+n*167603./181440))),
		n * n * n * n * (49561./161280 + n*(-179./168+n*6601661./7257600)),
		n * n * n * n * n * (34729./80640 - n*3418889./1995840),
		n * n * n * n * n * n * 212378941. / 319334400,
	}
}

// toSphere are the coefficients from the plane to the sphere (beta, eq. 36), to be taken off.
func toSphere() series {
	const n = third
	return series{
		n * (1./2 + n*(-2./3+n*(37./96+n*(-1./360+n*(-81./512+n*96199./604800))))),
		n * n * (1./48 + n*(1./15+n*(-437./1440+n*(46./105-n*1118711./3870720)))),
		n * n * n * (17./480 + n*(-37./840+n*(-209./4480+n*5569./90720))),
		n * n * n * n * (4397./161280 + n*(-11./504-n*830251./7257600)),
		n * n * n * n * n * (4583./161280 - n*108847./3991680),
		n * n * n * n * n * n * 20648693. / 638668800,
	}
}
