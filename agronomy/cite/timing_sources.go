package cite

// Sources on which product, placed how, on which day.
const (
	MontanaVolatilization Key = "montana-urea-volatilization"
	Engel2011             Key = "engel-2011"
	AmmoniaTrials         Key = "culm-ammonia-trials"
	Cantarella2018        Key = "cantarella-2018"
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
	McMasterSmika1988     Key = "mcmaster-smika-1988"
	BiomeBGC              Key = "biome-bgc-soil-temperature"
	Zheng1993             Key = "zheng-hunt-running-1993"
	SnowDensity           Key = "snow-depth-to-water"
	Feekes1954            Key = "feekes-scale"
	CerealStages          Key = "bbch-zadoks-cereals"
	CanolaStages          Key = "bbch-oilseed-rape"
	ElongationDates       Key = "stem-elongation-dates"
	KansasTopdress        Key = "kansas-topdress-timing"
	OhioFeekes6           Key = "ohio-feekes-6"
	TexasTopdress         Key = "texas-topdress-timing"
	FrozenGround590       Key = "nrcs-590-frozen-ground"
	NebraskaLeafBurn      Key = "nebraska-leaf-burn-2012"
	OntarioBurn           Key = "ontario-streamer-2014"
	NWSGridpoints         Key = "nws-api"
	GHCNDaily             Key = "ghcn-daily"
	Thornton1997          Key = "thornton-running-white-1997"
	AmmoniaSafety         Key = "ammonia-handling"
	ForageNitrate         Key = "clemson-nitrate"
	UANDensity            Key = "uan-density-temperature"
	AlabamaANR174         Key = "alabama-anr-174"
	Goebes2003            Key = "goebes-2003"
	Bouwman2002           Key = "bouwman-2002"
	EMEP2019              Key = "emep-eea-2019-3d"
	ErnstMassey1960       Key = "ernst-massey-1960"
	VanBurg1982           Key = "van-burg-1982"
	PennStateTopdress     Key = "penn-state-topdress-wheat"
	KansasSurfaceUrea     Key = "kansas-urea-loss-177443"
	KansasResidueCarbon   Key = "kansas-eupdate-2840"
	OntarioTrips2019      Key = "ontario-wheat-trips-2019"
	Gregory1982           Key = "gregory-1982"
	MissouriG1570         Key = "missouri-g1570"
	Woebbecke1995         Key = "woebbecke-1995"
	MeyerNeto2008         Key = "meyer-neto-2008"
	Otsu1979              Key = "otsu-1979"
	Richardson1981        Key = "richardson-1981"
	RichardsonWright1984  Key = "richardson-wright-1984"
	MilwaukeeVerification Key = "nws-milwaukee-verification-2012"
)

func timingSources() []Source {
	return []Source{
		{MontanaVolatilization, "Montana State University, Ammonia volatilization from urea: results of 17 trials and what was learned.", "https://landresources.montana.edu/ureavolatilization/learned.html", Confirmed},
		{Engel2011, "Engel, Jones and Wallander 2011, Ammonia volatilization from urea and mitigation by NBPT following surface application to cold soils, Soil Science Society of America Journal 75:2348-2357.", "doi:10.2136/sssaj2011.0229", Confirmed},
		{AmmoniaTrials, "Coefficients fitted for this program to a part of the published field trials of ammonia loss from urea, with what they predict of the rest: docs/ammonia.md.", "docs/ammonia.md", Derived},
		{Cantarella2018, "Cantarella, Otto, Soares and Silva 2018, Agronomic efficiency of NBPT as a urease inhibitor: a review, Journal of Advanced Research 13:19-27.", "PMC6077139", Confirmed},
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
		{McMasterSmika1988, "McMaster and Smika 1988, Estimation and evaluation of winter wheat phenology in the central Great Plains: calendar days foretold best from emergence to jointing, degree days from 1 January later on.", "McMaster and Smika 1988, abstract", Confirmed},
		{BiomeBGC, "Numerical Terradynamic Simulation Group, University of Montana, BIOME-BGC 4: soil temperature at 10 cm as an eleven-day weighted mean of air temperature, drawn towards the annual mean.", "BIOME-BGC 4 source", Confirmed},
		{Zheng1993, "Zheng, Hunt and Running 1993, A daily soil temperature model based on air temperature and precipitation for continental applications, Climate Research 2:183-191.", "Clim. Res. 2:183", Confirmed},
		{SnowDensity, "Snow ten times as deep as its water. From memory.", "", FromMemory},
		{Feekes1954, "Large 1954, Growth stages in cereals: illustration of the Feekes scale, Plant Pathology 3:128-129.", "Plant Pathol. 3:128", Confirmed},
		{CerealStages, "Zadoks and BBCH codes for cereals: 30 stem elongation begins, 31 first node, 32 second node, 37 flag leaf visible.", "BBCH codes for cereals", Confirmed},
		{CanolaStages, "BBCH codes for oilseed rape: 30 stem elongation begins, 31 first internode extended. From memory.", "BBCH codes for oilseed rape", FromMemory},
		{ElongationDates, "Usual dates of stem elongation by latitude. From memory; no publication was found.", "", FromMemory},
		{KansasTopdress, "Kansas State University, Time to topdress winter wheat is running out.", "http://www.agprofessional.com/news/time_to_topdress_winter_wheat_is_running_out_k-state_says_120158324.html", Confirmed},
		{OhioFeekes6, "Ohio State University, nitrogen on wheat: no penalty up to Feekes 6.", "https://agcrops.osu.edu/newsletter/corn-newsletter/2023-07/when-and-how-much-nitrogen-apply-wheat", Confirmed},
		{TexasTopdress, "Texas A&M AgriLife, Topdress timing: at least a week ahead of the first joint.", "https://agrilife.org/texasrowcrops/?p=609", Confirmed},
		{FrozenGround590, "USDA-NRCS Iowa, conservation practice standard 590 (2013): no surface nutrients on frozen or snow-covered soil or when the top 2 inches are saturated.", "farmandlivestockdirectory.com/39502", Confirmed},
		{NebraskaLeafBurn, "G. Hergert, University of Nebraska-Lincoln, CropWatch, 6 April 2012: UAN and herbicide on dryland wheat can burn leaves.", "https://cropwatch.unl.edu/fertilizer-herbicide-applications-dryland-wheat-can-cause-leaf-burning", Confirmed},
		{OntarioBurn, "Ontario field crop news 2014: Mitigating leaf burn, streamer nozzles and dissolved urea.", "http://fieldcropnews.com/2014/07/mitigating-leaf-burn-streamer-nozzles-and-dissolved-urea/", Confirmed},
		{NWSGridpoints, "US National Weather Service API, gridpoint forecast.", "https://www.weather.gov/documentation/services-web-api", Confirmed},
		{GHCNDaily, "National Centers for Environmental Information, Global Historical Climatology Network - Daily, readme: forms, units and flags.", "ncei.noaa.gov GHCN-Daily readme", Confirmed},
		{Thornton1997, "Thornton, Running and White 1997, Generating surfaces of daily meteorological variables over large regions of complex terrain, Journal of Hydrology 190:214-251: a day is wet where the weighted share of wet stations passes a limit, and its amount is the weighted mean of the wet ones.", "doi:10.1016/S0022-1694(96)03128-9", FromMemory},
		{AmmoniaSafety, "29 CFR 1910.111, storage and handling of anhydrous ammonia; Minnesota Rules 1513.1060.", "29 CFR 1910.111", Confirmed},
		{ForageNitrate, "Clemson University Agricultural Service Laboratory, nitrate levels in forage.", "https://clemson.edu/public/regulatory/ag-srvc-lab/feed-forage/nitrate-level.html", Confirmed},
		{UANDensity, "Physical characteristics of 28, 30 and 32 % nitrogen solutions: density by temperature.", "https://www.scribd.com/document/230568241", Confirmed},
		{AlabamaANR174, "Alabama Cooperative Extension, ANR-174: make-up of nitrogen solutions and acidity of fertilizers.", "ANR-174", Confirmed},
		{Goebes2003, "Goebes, Strader and Davidson 2003, An ammonia emission inventory for fertilizer application in the United States, Atmospheric Environment 37:2539-2550; the factors as repeated in laboratory documentation.", "Atmos. Environ. 37:2539", Quoted},
		{Bouwman2002, "Bouwman, Boumans and Batjes 2002, Estimation of global NH3 volatilization loss from synthetic fertilizers and animal manure, Global Biogeochemical Cycles 16(2):1024. The factors are from memory.", "Global Biogeochem. Cycles 16:1024", FromMemory},
		{EMEP2019, "EMEP/EEA air pollutant emission inventory guidebook 2019, chapter 3.D, ammonia by fertilizer and soil pH. The factors are from memory.", "EMEP/EEA guidebook 2019, 3.D", FromMemory},
		{ErnstMassey1960, "Ernst and Massey 1960, The effects of several factors on volatilization of ammonia formed from urea in the soil, Soil Science Society of America Proceedings 24:87-90 (abstract).", "SSSAP 24:87", Confirmed},
		{VanBurg1982, "Van Burg, Dilz and Prins 1982, as quoted in the Journal of Agricultural Science (Cambridge): good urea yields with 5 mm of rain within two days.", "quoted in J. Agric. Sci.", Quoted},
		{PennStateTopdress, "Penn State Extension, Topdressing wheat with nitrogen.", "https://extension.psu.edu/topdressing-wheat-with-nitrogen", Confirmed},
		{KansasSurfaceUrea, "Kansas State University, Management practices affecting nitrogen loss from urea: residue, tie-up and surface bands.", "https://m.farms.com/news/management-practices-affecting-nitrogen-loss-from-urea-177443.aspx", Confirmed},
		{KansasResidueCarbon, "Kansas State University, eUpdate article 2840: carbon in crop residue.", "eUpdate article 2840", Confirmed},
		{OntarioTrips2019, "Ontario field crop news, May 2019: Herbicides, fungicides, nitrogen and sulphur, prioritizing trips across winter wheat.", "https://fieldcropnews.com/2019/05/herbicides-fungicides-nitrogen-and-sulphur-prioritizing-trips-across-your-winter-wheat-fields-this-spring/", Confirmed},
		{Gregory1982, "Gregory 1982, Soil cover prediction with various amounts and types of crop residue, Transactions of the ASAE 25:1333-1337; form and coefficients as used in public erosion code and residue tables.", "Trans. ASAE 25:1333", Quoted},
		{MissouriG1570, "University of Missouri, Guide G1570, 1993: estimating residue with a line transect.", "MU Guide G1570", Confirmed},
		{Woebbecke1995, "Woebbecke, Meyer, Von Bargen and Mortensen 1995, Color indices for weed identification under various soil, residue, and lighting conditions, Transactions of the ASAE 38:259-269: excess green. The formula was read in other works; the citation is from memory.", "Trans. ASAE 38:259", FromMemory},
		{MeyerNeto2008, "Meyer and Neto 2008, Verification of color vegetation indices for automated crop imaging applications, Computers and Electronics in Agriculture 63:282-293: excess green minus excess red. From memory.", "Comput. Electron. Agric. 63:282", FromMemory},
		{Otsu1979, "Otsu 1979, A threshold selection method from gray-level histograms, IEEE Transactions on Systems, Man, and Cybernetics 9:62-66.", "IEEE SMC 9:62", Confirmed},
		{Richardson1981, "Richardson 1981, Stochastic simulation of daily precipitation, temperature, and solar radiation, Water Resources Research 17:182-190.", "doi:10.1029/WR017i001p00182", Quoted},
		{RichardsonWright1984, "Richardson and Wright 1984, WGEN: a model for generating daily weather variables, USDA Agricultural Research Service, ARS-8.", "USDA-ARS ARS-8", Quoted},
		{MilwaukeeVerification, "National Weather Service, Milwaukee/Sullivan, 2012: November verification report. Mean error of high and low by days ahead, November 2011.", "NWS Milwaukee/Sullivan, 16 November 2012", Confirmed},
	}
}
