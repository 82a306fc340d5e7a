package ground

import (
	"fmt"
	"math"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Everything in this chapter follows FAO Irrigation and Drainage Paper 56 [cite.FAO56]; equation numbers are
// its own. Pressures and vapour pressures are in kPa, radiation in MJ per square metre and day, temperatures in
// degrees Celsius, evapotranspiration in mm a day. None of the formulas refuses a value: what goes in is the
// caller's to check, and Reference does.

// latentHeat turns radiation into the depth of water it evaporates: 0.408 mm per MJ/m2.
const latentHeat = 0.408

// Pressure is the pressure of the air at an elevation (Eq. 7), kPa.
func Pressure(elevation unit.Length) float64 {
	return 101.3 * math.Pow((293-0.0065*float64(elevation))/293, 5.26)
}

// Psychrometric is the psychrometric constant at a pressure in kPa (Eq. 8), kPa per degree.
func Psychrometric(pressure float64) float64 { return 0.665e-3 * pressure }

// SaturationPressure is the vapour pressure of saturated air (Eq. 11), kPa.
func SaturationPressure(t unit.Temperature) float64 {
	return 0.6108 * math.Exp(17.27*float64(t)/(float64(t)+237.3))
}

// MeanSaturationPressure is the mean of those at the day's low and high (Eq. 12), kPa.
func MeanSaturationPressure(low, high unit.Temperature) float64 {
	return (SaturationPressure(low) + SaturationPressure(high)) / 2
}

// SaturationSlope is how fast the saturation pressure rises with the temperature (Eq. 13), kPa per degree.
func SaturationSlope(t unit.Temperature) float64 {
	return 4098 * SaturationPressure(t) / math.Pow(float64(t)+237.3, 2)
}

// VapourPressure is the actual vapour pressure from the day's low and high of temperature and of relative
// humidity (Eq. 17), kPa. The highest humidity goes with the lowest temperature.
func VapourPressure(low, high unit.Temperature, driest, dampest unit.Fraction) float64 {
	return (SaturationPressure(low)*float64(dampest) + SaturationPressure(high)*float64(driest)) / 2
}

// VapourPressureAtDewPoint is the actual vapour pressure of air with a dew point (Eq. 14), kPa. Where humidity
// was not measured the day's low stands in for the dew point (Eq. 48); in dry country that is too damp.
func VapourPressureAtDewPoint(dew unit.Temperature) float64 { return SaturationPressure(dew) }

// sun is the sun on a day of the year at a latitude.
type sun struct {
	distance    float64 // inverse relative distance of earth and sun (Eq. 23)
	declination float64 // radians (Eq. 24)
	sunset      float64 // hour angle of sunset, radians (Eq. 25); 0 in polar night, pi in polar day
	latitude    float64 // radians
}

func sunOn(latitude float64, dayOfYear int) sun {
	j := 2 * math.Pi * float64(dayOfYear) / 365
	s := sun{distance: 1 + 0.033*math.Cos(j), declination: 0.409 * math.Sin(j-1.39), latitude: latitude * math.Pi / 180}
	s.sunset = math.Acos(max(-1, min(1, -math.Tan(s.latitude)*math.Tan(s.declination))))
	return s
}

// radiation is Eq. 21.
func (s sun) radiation() float64 {
	const solarConstant = 0.0820 // MJ per square metre and minute
	return 24 * 60 / math.Pi * solarConstant * s.distance *
		(s.sunset*math.Sin(s.latitude)*math.Sin(s.declination) + math.Cos(s.latitude)*math.Cos(s.declination)*math.Sin(s.sunset))
}

// Extraterrestrial is the radiation of the sun above the air on a day of the year (Eq. 21), MJ per square metre.
// The latitude is in degrees, north positive.
func Extraterrestrial(latitude float64, dayOfYear int) float64 {
	return sunOn(latitude, dayOfYear).radiation()
}

// Daylight is the hours of daylight on a day of the year (Eq. 34).
func Daylight(latitude float64, dayOfYear int) float64 {
	return 24 / math.Pi * sunOn(latitude, dayOfYear).sunset
}

// SunshineRadiation is the radiation that reaches the ground, from the hours of sunshine of the daylight
// (Eq. 35, with 0.25 under overcast and 0.50 more under clear sky).
func SunshineRadiation(extraterrestrial, sunshine, daylight float64) float64 {
	return (0.25 + 0.50*sunshine/daylight) * extraterrestrial
}

// RangeRadiation is the radiation that reaches the ground, from the day's range of temperature (Eq. 50).
// The factor is 0.16 inland and 0.19 on coasts. It is never more than a clear sky lets through (Eq. 37).
func RangeRadiation(extraterrestrial float64, low, high unit.Temperature, factor float64) float64 {
	return min(0.75, factor*math.Sqrt(max(0, float64(high-low)))) * extraterrestrial
}

// ClearSkyRadiation is the radiation under a clear sky at an elevation (Eq. 37).
func ClearSkyRadiation(extraterrestrial float64, elevation unit.Length) float64 {
	return (0.75 + 2e-5*float64(elevation)) * extraterrestrial
}

// NetLongwave is the net outgoing longwave radiation (Eq. 39). solar and clear are the radiation that came and
// that would have come under a clear sky; vapour is the actual vapour pressure, kPa.
func NetLongwave(low, high unit.Temperature, vapour, solar, clear float64) float64 {
	const boltzmann, zero = 4.903e-9, 273.16 // MJ per K^4, square metre and day; kelvin
	heat := (math.Pow(float64(high)+zero, 4) + math.Pow(float64(low)+zero, 4)) / 2
	cloud := 1.0
	if clear > 0 {
		cloud = min(1, solar/clear)
	}
	return boltzmann * heat * (0.34 - 0.14*math.Sqrt(vapour)) * (1.35*cloud - 0.35)
}

// NetRadiation is what the reference grass keeps of the sun, less what it sends out (Eqs. 38 and 40).
func NetRadiation(solar, netLongwave float64) float64 {
	const albedo = 0.23
	return (1-albedo)*solar - netLongwave
}

// WindAtTwoMetres brings a wind measured at another height above grass down to 2 m (Eq. 47).
func WindAtTwoMetres(wind unit.Speed, height unit.Length) unit.Speed {
	return wind * unit.Speed(4.87/math.Log(67.8*float64(height)-5.42))
}

// PenmanMonteith is the reference evapotranspiration (Eq. 6) from net radiation, heat into the soil, mean
// temperature, wind at 2 m, and saturation and actual vapour pressure. slope and gamma are those of the
// saturation pressure and the psychrometric constant.
func PenmanMonteith(net, soilHeat float64, mean unit.Temperature, wind unit.Speed, saturation, vapour, slope, gamma float64) unit.Water {
	u, t := float64(wind), float64(mean)
	sky := latentHeat * slope * (net - soilHeat)
	air := gamma * 900 / (t + 273) * u * (saturation - vapour)
	return unit.Water((sky + air) / (slope + gamma*(1+0.34*u)))
}

// Hargreaves is the reference evapotranspiration from temperature alone (Eq. 52). It runs low in wind above
// 3 m/s and high in damp air. The mean goes in beside low and high because stations may measure it.
func Hargreaves(mean, low, high unit.Temperature, extraterrestrial float64) unit.Water {
	return unit.Water(max(0, 0.0023*(float64(mean)+17.8)*math.Sqrt(max(0, float64(high-low)))*extraterrestrial*latentHeat))
}

// Air is what was measured of a day's air. Low and High are always needed; whatever else is missing is stood in
// for as FAO-56 says, and Reference names the stand-ins.
type Air struct {
	Low, High unit.Temperature
	// Solar is the radiation at the ground, MJ per square metre; HasSolar says that it was measured.
	Solar    float64
	HasSolar bool
	// Driest and Dampest are the day's ends of relative humidity; HasHumidity says that they were measured.
	Driest, Dampest unit.Fraction
	HasHumidity     bool
	// Wind is the day's mean at 2 m; HasWind says that it was measured.
	Wind    unit.Speed
	HasWind bool
}

// Reference is the reference evapotranspiration of a day, with what was assumed for it, in words.
//
// Without measured radiation it is Hargreaves's. With it, Penman-Monteith's, the day's low standing in for the
// dew point (Eq. 48) and 2 m/s for the wind where they are missing. Neither is ever below zero. It refuses a
// latitude that is none and a low above the high.
func Reference(day calendar.Day, latitude float64, elevation unit.Length, a Air) (unit.Water, []string, error) {
	if !(math.Abs(latitude) <= 90) {
		return 0, nil, fmt.Errorf("ground: latitude is %v; expected -90 to 90 degrees", latitude)
	}
	if !(a.Low <= a.High) {
		return 0, nil, fmt.Errorf("ground: on %s the low is %.1f °C and the high %.1f °C; expected the low below the high", day, float64(a.Low), float64(a.High))
	}
	mean := (a.Low + a.High) / 2
	ra := Extraterrestrial(latitude, day.Time().YearDay())
	if !a.HasSolar {
		return Hargreaves(mean, a.Low, a.High, ra), []string{"radiation was not measured: evapotranspiration is from temperature alone (Hargreaves)"}, nil
	}
	var assumed []string
	vapour := VapourPressure(a.Low, a.High, a.Driest, a.Dampest)
	if !a.HasHumidity {
		vapour = VapourPressureAtDewPoint(a.Low)
		assumed = append(assumed, "humidity was not measured: the day's low stands in for the dew point")
	}
	wind := a.Wind
	if !a.HasWind {
		wind = 2
		assumed = append(assumed, "wind was not measured: a mean of 2 m/s is assumed")
	}
	net := NetRadiation(a.Solar, NetLongwave(a.Low, a.High, vapour, a.Solar, ClearSkyRadiation(ra, elevation)))
	et := PenmanMonteith(net, 0, mean, wind, MeanSaturationPressure(a.Low, a.High), vapour,
		SaturationSlope(mean), Psychrometric(Pressure(elevation)))
	return max(0, et), assumed, nil
}
