package cite

// Sources on soil tests and sampling, and the habits of the trade.
const (
	Practice         Key = "common-practice"
	GoodBadPairs     Key = "ncda-good-bad-pairs"
	WheatPCritical   Key = "kansas-wheat-p-critical"
	CornSoyKCritical Key = "kansas-k-critical"
	WheatPH          Key = "kansas-liming-559-6"
	CanolaPH         Key = "montana-eb0224"
	ChlorideFixen    Key = "fixen-1987-chloride"
	RutgersCritical  Key = "rutgers-critical-levels"
	OhioANR75        Key = "ohio-anr-75"
	OlsenBySoil      Key = "olsen-conversions-2026"
	WashingtonFS045E Key = "washington-fs045e"
	PlateauFits      Key = "plateau-fit-practice"
	Kunsch1989       Key = "kunsch-1989"
	PolitisRomano    Key = "politis-romano-1992"
	PolitisWhite     Key = "politis-white-2004"
	Hesterberg2014   Key = "hesterberg-2014"
	MarriottPope     Key = "marriott-pope-1954"
	ClopperPearson   Key = "clopper-pearson-1934"
)

func practiceSources() []Source {
	return []Source{
		{Practice, "Common practice of the trade; no publication found.", "", CommonPractice},
		{GoodBadPairs, "North Carolina Department of Agriculture, Agrotips July 2008 and Sampling Folder 3: sample the poor spot and good ground beside it.", "https://www.ncagr.gov/paffairs/AgReview/articles/2008/7-08agrotips.htm", Confirmed},
		{WheatPCritical, "Kansas State University: critical level for wheat 20 ppm Mehlich-3 or Bray P.", "http://www.agprofessional.com/resource-centers/crop-fertility/news/267778291.html", Confirmed},
		{CornSoyKCritical, "Kansas State University, 2011 abstract: critical level 130 ppm exchangeable K, found on corn and soybean ground.", "http://scisoc.confex.com/scisoc/2011am/webprogramschedule/Paper66236.html", Confirmed},
		{WheatPH, "Kansas State University, eUpdate 559-6: wheat yield falls when pH is below 5.5 and KCl-extractable aluminium above 25 ppm.", "https://eupdate.agronomy.ksu.edu/article_new/liming-soils-for-optimum-wheat-production-559-6", Confirmed},
		{CanolaPH, "Montana State University, EB0224, 2016: canola performs well from pH 5.5 to 8.5.", "EB0224", Confirmed},
		{ChlorideFixen, "Fixen 1987, soil chloride requirements of wheat: low up to 30, medium to 60 lb/ac in 0-24 in.", "http://www.ppi-far.org/chloride/soil%20chloride%20requirements/page_fr2.htm", Confirmed},
		{RutgersCritical, "Rutgers Soil Testing Laboratory, relative levels of nutrients (Mehlich-3).", "https://njaes.rutgers.edu/soil-testing-lab/relative-levels-of-nutrients.php", Confirmed},
		{OhioANR75, "Ohio State University, ANR-75, 2019, Converting between Mehlich-3, Bray P and ammonium acetate soil test values (soils of Ohio and Indiana).", "https://ohioline.osu.edu/factsheet/anr-75", Confirmed},
		{OlsenBySoil, "EGUsphere preprint 2026-2518, on converting between soil phosphorus tests: conversions to and from Olsen are specific to soils.", "EGUsphere 2026-2518", Confirmed},
		{WashingtonFS045E, "Washington State University, FS045E, winter canola: needs by soil test similar to those of wheat (summary read).", "oilseeds.css.wsu.edu/soil-fertility", Confirmed},
		{PlateauFits, "Grid over the join point, least squares for the rest, then refinement: common numerical practice.", "", CommonPractice},
		{Kunsch1989, "Kunsch 1989, The jackknife and the bootstrap for general stationary observations, Annals of Statistics 17:1217 (moving blocks). From memory.", "Ann. Stat. 17:1217", FromMemory},
		{PolitisRomano, "Politis and Romano 1992, A circular block-resampling procedure for stationary data. From memory.", "in: Exploring the Limits of Bootstrap, Wiley", FromMemory},
		{PolitisWhite, "Politis and White 2004, Automatic block-length selection for the dependent bootstrap, Econometric Reviews 23:53-70; corrected by Patton, Politis and White 2009, 28:372-375. The formulas were read in the reference pages of two implementations that name it.", "doi:10.1081/ETC-120028836", Quoted},
		{Hesterberg2014, "Hesterberg 2014, What teachers should know about the bootstrap: percentiles widened for small samples. The formula was read in the reference page of the author's own implementation.", "https://arxiv.org/abs/1411.5279", Quoted},
		{MarriottPope, "Marriott and Pope 1954, Bias in the estimation of autocorrelations, Biometrika 41:390-402. From memory.", "Biometrika 41:390", FromMemory},
		{ClopperPearson, "Clopper and Pearson 1934, The use of confidence or fiducial limits illustrated in the case of the binomial, Biometrika 26:404-413. From memory.", "Biometrika 26:404", FromMemory},
	}
}
