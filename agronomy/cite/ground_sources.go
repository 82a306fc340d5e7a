package cite

// Sources on the state of the ground: water, frost, runoff, leaching, and the hours fit for spraying.
const (
	FAO56             Key = "fao-56"
	FAO56Soils        Key = "fao-56-table-19"
	ASCE70            Key = "asce-70-2016"
	TR55              Key = "tr-55"
	SCS1985           Key = "scs-1985-curve-numbers"
	TR55Soils         Key = "tr-55-soil-groups"
	WatershedCode     Key = "watershed-model-curve-numbers"
	FrozenCurveNumber Key = "frozen-curve-number"
	FieldCapacity     Key = "fao-field-capacity"
	Stull2011         Key = "stull-2011"
	DeltaTGuideline   Key = "delta-t-guideline"
	SprayInversion    Key = "north-dakota-ae1705"
	NorthDakotaBurn   Key = "north-dakota-leaf-burn-2005"
	SprayWindLimits   Key = "spray-wind-limits"
	Scotter1993       Key = "scotter-1993"
	Burns1975         Key = "burns-1975"
	WilliamsKissel    Key = "williams-kissel-1991"
	CornellLeaching   Key = "cornell-po60"
	KansasFrozen      Key = "kansas-devlin-frozen"
	KentuckyFrozen    Key = "kentucky-2021-frozen"
	HassanBroughton   Key = "hassan-broughton-1975"
	Mueller2011       Key = "mueller-2011"
	SoftGround        Key = "soft-ground-threshold"
	SoilRelaxation    Key = "soil-temperature-manhattan"
	NOAAManhattan     Key = "uscrn-manhattan"
	SnowAugsburg      Key = "snow-augsburg"
)

func groundSources() []Source {
	return []Source{
		{FAO56, "Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration: guidelines for computing crop water requirements, FAO Irrigation and Drainage Paper 56. Equations, coefficients and worked examples as repeated in two public codes.", "https://www.fao.org/3/x0490e/x0490e00.htm", Quoted},
		{FAO56Soils, "FAO Irrigation and Drainage Paper 56, Table 19: typical soil water of soil types. From memory.", "FAO-56, Table 19", FromMemory},
		{ASCE70, "ASCE Manual 70, 2nd edition, 2016, Equations 14-12 to 14-20: curve number by how dry the surface layer is; as repeated in a public code.", "ASCE Manual 70, 2016", Quoted},
		{TR55, "USDA Natural Resources Conservation Service 1986, Urban hydrology for small watersheds, Technical Release 55, Equations 2-1 to 2-4.", "TR-55", Confirmed},
		{SCS1985, "USDA Soil Conservation Service 1985, curve numbers of land uses and of dry and wet conditions, as repeated in Beven, Rainfall-Runoff Modelling: The Primer, Tables B6.3.1 and B6.3.2.", "SCS 1985, quoted", Quoted},
		{TR55Soils, "Hydrologic soil group by texture, after Technical Release 55, Appendix A. From memory.", "TR-55, Appendix A", FromMemory},
		{WatershedCode, "A public watershed-model code with its theory manual: curve numbers of dry and wet conditions, nitrate in moving water.", "", Confirmed},
		{FrozenCurveNumber, "A public watershed-model code: storage of frozen ground. The form was read, its coefficient is from memory.", "", FromMemory},
		{FieldCapacity, "FAO 2003, Soil Bulletin on conservation: field capacity is what soil holds 48 hours after saturation; poorly structured soil drains for weeks.", "http://www.fao.org/docrep/006/y4690e/y4690e04.htm", Confirmed},
		{Stull2011, "Stull 2011, Wet-bulb temperature from relative humidity and air temperature, Journal of Applied Meteorology and Climatology 50:2267-2269.", "doi:10.1175/JAMC-D-11-0143.1", Confirmed},
		{DeltaTGuideline, "Australian spray guideline: dry less wet bulb of 2 to 8 C is ideal, below 2 or above 10 calls for caution; as repeated by several spray educators.", "", Confirmed},
		{SprayInversion, "North Dakota State University, AE1705 (revised 2024) and AE1876: air temperature inversions, their causes, signs and hours.", "AE1705", Confirmed},
		{NorthDakotaBurn, "North Dakota State University 2005: late foliar nitrogen on wheat; burn comes from drying to crystals, cool and damp is best, in heat of 90 F spray from evening to 8 in the morning.", "NDSU 2005", Confirmed},
		{SprayWindLimits, "Upper limit of wind for spraying of 10 to 15 miles per hour. From memory; labels rule.", "", FromMemory},
		{Scotter1993, "Scotter, White and Dyson 1993, The Burns leaching equation, Journal of Soil Science 44:25-33.", "J. Soil Sci. 44:25", Confirmed},
		{Burns1975, "Burns 1975, An equation to predict the leaching of surface-applied nitrate, Journal of Agricultural Science. The layered form is from memory.", "J. Agric. Sci. 85:443", FromMemory},
		{WilliamsKissel, "Williams and Kissel 1991, Water percolation: an indicator of nitrogen-leaching potential; the constants are from memory.", "Williams and Kissel 1991", FromMemory},
		{CornellLeaching, "Cornell University, competency PO 60: nitrate leaching index below 2 low, 2 to 10 intermediate, above 10 high.", "nrcca PO 60", Confirmed},
		{KansasFrozen, "D. Devlin, Kansas State University: avoid nutrients on frozen soil; within 50 ft of concentrated flow is riskier than beyond 100 ft.", "", Confirmed},
		{KentuckyFrozen, "Ritchey, Grove and McGrath 2021, University of Kentucky: standard 590 advises against nutrients on frozen or saturated ground.", "", Confirmed},
		{HassanBroughton, "Hassan and Broughton 1975, Soil moisture criteria for tractability, Canadian Agricultural Engineering 17:124-129: the limit must be set for each soil.", "Can. Agric. Eng. 17:124", Confirmed},
		{Mueller2011, "Mueller, Lipiec, Kornecki and Gebhardt 2011, Trafficability and workability of soils, Encyclopedia of Agrophysics 912-924.", "Encyclopedia of Agrophysics 912", Confirmed},
		{SoftGround, "No traffic while the top layer holds more than 90 to 95 % of field capacity. From memory; a setting.", "", FromMemory},
		{SoilRelaxation, "Our fit of soil temperature to air temperature, day length and snow on the measured soil of Manhattan, Kansas; see docs/soil-temperature.md.", "", Derived},
		{SnowAugsburg, "Our fit of snow lying to rain and temperature on the snow measured by the Deutscher Wetterdienst at Augsburg, every second winter of 2009 to 2018; see docs/snow.md.", "", Derived},
		{NOAAManhattan, "NOAA, US Climate Reference Network, daily record of Manhattan, Kansas, 2003 to 2017; Diamond and others 2013, Bulletin of the American Meteorological Society 94:489-498.", "BAMS 94:489", Confirmed},
	}
}
