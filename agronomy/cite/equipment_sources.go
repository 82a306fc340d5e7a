package cite

// Sources on sprayers and spreaders, and on testing them.
const (
	MontanaSprayer     Key = "montana-mt200014"
	LouisianaSprayer   Key = "louisiana-128th-acre"
	NozzleTable        Key = "nozzle-flows-at-2-bar"
	ISO10625           Key = "iso-10625"
	PressureLaw        Key = "nozzle-square-root-law"
	KleinNozzles       Key = "nebraska-klein-nozzle-wear"
	GolfGreens2016     Key = "usga-2016-nozzle-wear"
	Vangel1996         Key = "vangel-1996"
	SpreaderStandards  Key = "iso-5690-asabe-s341"
	SpreaderTrays      Key = "landwise-spreader-trays"
	ForristalSpreader  Key = "teagasc-forristal-spreader"
	OhioBulletin817    Key = "ohio-bulletin-817"
	ControllerPractice Key = "controller-calibration-practice"
	NitrogenSolution   Key = "uan-handling"
)

func equipmentSources() []Source {
	return []Source{
		{MontanaSprayer, "Montana State University, MontGuide MT 2000-14 and its appendix: flow, speed and rate of a sprayer, and the nozzles of a boom against their average.", "MontGuide MT 2000-14", Confirmed},
		{LouisianaSprayer, "Louisiana State University AgCenter, sprayer calibration on 1/128 acre: distances by nozzle spacing; ounces caught are gallons an acre.", "LSU AgCenter", Confirmed},
		{NozzleTable, "A supplier's table of nozzle flows at 2 bar by size. Its row of size 025 repeats the flow of 03; its litres per hectare show 0.82 L/min to be meant.", "supplier's table, read", Confirmed},
		{ISO10625, "ISO 10625, Equipment for crop protection, sprayer nozzles, colour coding for identification. The scope was read: it might not be applicable to liquid fertilizer. The flows at 3 bar are from memory.", "ISO 10625", FromMemory},
		{PressureLaw, "Flow through a nozzle grows with the square root of pressure and falls with that of the liquid's density. From memory; a table of flows at 2 bar and one at 3 bar agree with it.", "", FromMemory},
		{KleinNozzles, "R. Klein, University of Nebraska-Lincoln, as reported: each nozzle within 10 % of its rating; replace one more than 5 % off the average of the boom.", "newspaper report", Quoted},
		{GolfGreens2016, "United States Golf Association 2016: a nozzle more than 10 % off is replaced.", "USGA 2016", Confirmed},
		{Vangel1996, "Vangel 1996, Confidence intervals for a normal coefficient of variation, The American Statistician 50:21-26. The formula is from memory and agrees with the exact interval from the noncentral t distribution.", "Am. Stat. 50:21", FromMemory},
		{SpreaderStandards, "ISO 5690-1 and -2 and ASABE S341, test of broadcast spreaders by trays across the way driven. Titles read; the details are from memory.", "ISO 5690, ASABE S341", FromMemory},
		{SpreaderTrays, "LandWISE New Zealand: trays of 0.5 by 0.5 m with baffles in a line across the way driven, one in the middle, none in the wheel tracks, wider than the pattern.", "landwise.org.nz", Confirmed},
		{ForristalSpreader, "D. Forristal, Teagasc: a coefficient of variation up to 15 % is acceptable; above 20 % it costs yield.", "agriland.ie", Confirmed},
		{OhioBulletin817, "Ohio State University, Bulletin 817: the effective swath is twice the distance from the middle to where half of the middle's rate falls.", "Ohio State Bulletin 817", Confirmed},
		{ControllerPractice, "Correcting a rate controller by what was caught against what it counted. Common practice, no publication found.", "", CommonPractice},
		{NitrogenSolution, "Handling of nitrogen solution: gloves, goggles, water to rinse with, tanks and hoses that it does not eat. Common practice, no publication found.", "", CommonPractice},
	}
}
