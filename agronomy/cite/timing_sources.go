package cite

// Sources on which product, placed how, on which day.
const (
	MontanaVolatilization Key = "montana-urea-volatilization"
	Engel2011             Key = "engel-2011"
	Black1987             Key = "black-1987"
	Holcomb2011           Key = "holcomb-2011"
	Perin2020             Key = "perin-2020"
	GodwinJones1991       Key = "godwin-jones-1991"
	IllinoisUAN           Key = "illinois-bulletin-729"
	IllinoisResidue       Key = "illinois-hoeft-2004"
	CornellSulfate        Key = "cornell-po26"
	Silva2017             Key = "silva-2017"
	NRCSCarbonNitrogen    Key = "nrcs-carbon-nitrogen"
	KelleySweeney2007     Key = "kelley-sweeney-2007"
	NebraskaNozzle        Key = "nebraska-solutions-2016"
	MaterialsSheet        Key = "fertilizer-physical-characteristics"
	NorthDakotaGDD        Key = "north-dakota-growing-degree-days"
	McMasterWilhelm1997   Key = "mcmaster-wilhelm-1997"
	KansasTopdress        Key = "kansas-topdress-timing"
	OhioFeekes6           Key = "ohio-feekes-6"
	TexasTopdress         Key = "texas-topdress-timing"
	FrozenGround590       Key = "nrcs-590-frozen-ground"
	NebraskaLeafBurn      Key = "nebraska-leaf-burn-2012"
	OntarioBurn           Key = "ontario-streamer-2014"
	NWSGridpoints         Key = "nws-api"
	AmmoniaSafety         Key = "ammonia-handling"
	ForageNitrate         Key = "clemson-nitrate"
)

func timingSources() []Source {
	return []Source{
		{MontanaVolatilization, "Montana State University, Ammonia volatilization from urea: results of 17 trials and what was learned.", "https://landresources.montana.edu/ureavolatilization/learned.html", Confirmed},
		{Engel2011, "Engel, Jones and Wallander 2011, Ammonia volatilization from urea and mitigation by NBPT following surface application to cold soils, Soil Science Society of America Journal 75:2348-2357.", "doi:10.2136/sssaj2011.0229", Confirmed},
		{Black1987, "Black, Sherlock and Smith 1987, Effect of timing of simulated rainfall on ammonia volatilization from urea, Journal of Soil Science 38:679-687.", "doi:10.1111/j.1365-2389.1987.tb02165.x", Confirmed},
		{Holcomb2011, "Holcomb 2011, MSc thesis, Oregon State University: irrigation after urea on wheat; 90 % less loss at 15 mm.", "Oregon State University thesis, 2011", Confirmed},
		{Perin2020, "Perin, Santos, Lollato, Ruiz-Diaz and Kluitenberg 2020, Impacts of ammonia volatilization from broadcast urea on winter wheat production, Agronomy Journal.", "doi:10.1002/agj2.20371", Confirmed},
		{GodwinJones1991, "Godwin and Jones 1991, Nitrogen dynamics in soil-plant systems, ASA Monograph 31: daily urea hydrolysis.", "ASA Monograph 31", Confirmed},
		{IllinoisUAN, "University of Illinois, The Bulletin, article 729, 2007: at most the urea half of UAN can volatilize.", "bulletin.ipm.illinois.edu article 729", Confirmed},
		{IllinoisResidue, "R. Hoeft, University of Illinois, The Bulletin, article 56, 2004: residue cover and loss from urea.", "bulletin.ipm.illinois.edu article 56", Confirmed},
		{CornellSulfate, "Cornell University, competency PO 26: ammonia loss from ammonium sulfate is no concern unless soil pH is above 7.5.", "nrcca PO 26", Confirmed},
		{Silva2017, "Silva, Sequeira, Sermarini and Otto 2017, Urease inhibitor NBPT on ammonia volatilization and crop productivity: a meta-analysis, Agronomy Journal.", "doi:10.2134/agronj2016.04.0200", Confirmed},
		{NRCSCarbonNitrogen, "USDA-NRCS, Carbon to nitrogen ratios in cropping systems.", "nrcseprd331820", Confirmed},
		{KelleySweeney2007, "Kelley and Sweeney 2007, Placement of preplant liquid nitrogen and phosphorus fertilizer and nitrogen rate affects no-till wheat following different summer crops, Agronomy Journal 99:1009-1017.", "Agron. J. 99:1009", Confirmed},
		{NebraskaNozzle, "University of Nebraska-Lincoln, CropWatch 2016: Setting the sprayer flow rate for non-water solutions.", "cropwatch.unl.edu 2016", Confirmed},
		{MaterialsSheet, "Estimated physical characteristics of fertilizer material.", "https://studylib.net/doc/18119690", Confirmed},
		{NorthDakotaGDD, "North Dakota Agricultural Weather Network, growing degree days for wheat and canola (after Bauer, Fanning, Enz and Eberlein 1984, EB-37); fitted on spring crops.", "https://climate.umt.edu/mesonet/ag_tools/gdds", Confirmed},
		{McMasterWilhelm1997, "McMaster and Wilhelm 1997, Growing degree-days: one equation, two interpretations, Agricultural and Forest Meteorology 87:291-300.", "Agric. For. Meteorol. 87:291", Confirmed},
		{KansasTopdress, "Kansas State University, Time to topdress winter wheat is running out.", "http://www.agprofessional.com/news/time_to_topdress_winter_wheat_is_running_out_k-state_says_120158324.html", Confirmed},
		{OhioFeekes6, "Ohio State University, nitrogen on wheat: no penalty up to Feekes 6.", "https://agcrops.osu.edu/newsletter/corn-newsletter/2023-07/when-and-how-much-nitrogen-apply-wheat", Confirmed},
		{TexasTopdress, "Texas A&M AgriLife, Topdress timing: at least a week ahead of the first joint.", "https://agrilife.org/texasrowcrops/?p=609", Confirmed},
		{FrozenGround590, "USDA-NRCS Iowa, conservation practice standard 590 (2013): no surface nutrients on frozen or snow-covered soil or when the top 2 inches are saturated.", "farmandlivestockdirectory.com/39502", Confirmed},
		{NebraskaLeafBurn, "G. Hergert, University of Nebraska-Lincoln, CropWatch, 6 April 2012: UAN and herbicide on dryland wheat can burn leaves.", "https://cropwatch.unl.edu/fertilizer-herbicide-applications-dryland-wheat-can-cause-leaf-burning", Confirmed},
		{OntarioBurn, "Ontario field crop news 2014: Mitigating leaf burn, streamer nozzles and dissolved urea.", "http://fieldcropnews.com/2014/07/mitigating-leaf-burn-streamer-nozzles-and-dissolved-urea/", Confirmed},
		{NWSGridpoints, "US National Weather Service API, gridpoint forecast.", "https://www.weather.gov/documentation/services-web-api", Confirmed},
		{AmmoniaSafety, "29 CFR 1910.111, storage and handling of anhydrous ammonia; Minnesota Rules 1513.1060.", "29 CFR 1910.111", Confirmed},
		{ForageNitrate, "Clemson University Agricultural Service Laboratory, nitrate levels in forage.", "https://clemson.edu/public/regulatory/ag-srvc-lab/feed-forage/nitrate-level.html", Confirmed},
	}
}
