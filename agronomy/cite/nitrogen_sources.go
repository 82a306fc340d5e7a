package cite

// Sources on how much nitrogen.
const (
	KansasMF2586      Key = "kansas-mf2586-2003"
	KansasSoilTest    Key = "kansas-soil-testing-wheat"
	MinnesotaWheat    Key = "minnesota-wheat"
	MontanaWheat      Key = "montana-wheat-n"
	NebraskaEC143     Key = "nebraska-ec143"
	WashingtonEB1987  Key = "washington-eb1987"
	Ohio974           Key = "ohio-bulletin-974"
	TexasRamp         Key = "texas-n-strips"
	Raun2002          Key = "raun-2002"
	Raun2005          Key = "raun-2005"
	Mullen2003        Key = "mullen-2003"
	CanolaPlains      Key = "kansas-canola-541-2"
	CanolaMontana     Key = "montana-canola-ns"
	CanopyBerry       Key = "ahdb-447-canopy"
	CanopyExample     Key = "cpm-canopy-example"
	Bachmaier2009     Key = "bachmaier-2009"
	Engelstad1971     Key = "engelstad-parks-1971"
	Hernandez2008     Key = "hernandez-mulla-2008"
	Cerrato1990       Key = "cerrato-blackmer-1990"
	Broadbalk2023     Key = "broadbalk-2023"
	ForageN           Key = "forage-n-agproud"
	ValueOfGain       Key = "value-of-gain-farm-progress"
	HollowStem        Key = "kansas-hollow-stem-581-3"
	GrazingLoss       Key = "kansas-grazing-617"
	Frontiers2025     Key = "frontiers-agronomy-2025"
	MontanaSuccess    Key = "montana-after-harvest-protein"
	Nebraska2007      Key = "nebraska-cropwatch-2007"
	Nebraska2012      Key = "nebraska-cropwatch-2012-spring-n"
	RapeGreenArea     Key = "fwi-rape-green-area"
	RapeYield         Key = "teagasc-rape-growth"
	ForageNVariant    Key = "forage-n-hay-and-forage"
	ValueOfGainSimple Key = "value-of-gain-dtn-2015"
	WheatPasture      Key = "kansas-forage-facts-wheat-pasture"
	NorthDakotaSF1448 Key = "north-dakota-sf1448"
)

func nitrogenSources() []Source {
	return []Source{
		{KansasMF2586, "Kansas State University, Soil test interpretations and fertilizer recommendations, MF-2586, 2003 edition. A later edition exists and may not use this form.", "publication MF2586", FromMemory},
		{KansasSoilTest, "Kansas State University, Plan your wheat fertility program: start by soil testing.", "https://www.gbtribune.com/news/business/plan-your-wheat-fertility-program/", Confirmed},
		{MinnesotaWheat, "University of Minnesota Extension, Fertilizing wheat in Minnesota.", "https://extension.umn.edu/crop-specific-needs/fertilizing-wheat-minnesota", Confirmed},
		{MontanaWheat, "Montana State University, Soil Scoop: nitrogen and wheat yield (guidelines EB0161).", "https://landresources.montana.edu/soilfertility/soilscoop/ss_NwheatYield.html", Confirmed},
		{NebraskaEC143, "University of Nebraska-Lincoln, EC143 Fertilizing winter wheat; table as printed in Fertilizer management for the 2016 winter wheat crop.", "http://www.agprofessional.com/resource-centers/crop-fertility/fertilizer-management-2016-winter-wheat-crop", Confirmed},
		{WashingtonEB1987, "Washington Grain Commission, Wheat Life, Table 1: nitrogen worksheet (parent bulletin EB1987).", "https://www.yumpu.com/en/document/view/34150370/download-wheat-life/53", Confirmed},
		{Ohio974, "Ohio State University, When and how much nitrogen to apply to wheat, 2023 (tri-state Bulletin 974).", "https://agcrops.osu.edu/newsletter/corn-newsletter/2023-07/when-and-how-much-nitrogen-apply-wheat", Confirmed},
		{TexasRamp, "M. McFarland, Efficient fertilizer use crucial for wheat farmers: strips of stepped nitrogen.", "http://southwestfarmpress.com/grains/efficient-fertilizer-use-crucial-wheat-farmers", Confirmed},
		{Raun2002, "Raun et al. 2002, Improving nitrogen use efficiency in cereal grain production with optical sensing and variable rate application, Agronomy Journal 94:815. Its abstract was read and confirms the index; the paper's coefficients were not seen.", "doi:10.2134/agronj2002.8150", Confirmed},
		{Raun2005, "Raun et al. 2005, Optical sensor-based algorithm for crop nitrogen fertilization, Communications in Soil Science and Plant Analysis 36:2759. The coefficients are from memory.", "Commun. Soil Sci. Plant Anal. 36:2759", FromMemory},
		{Mullen2003, "Mullen et al. 2003, Identifying an in-season response index and the potential to increase wheat yield with nitrogen, Agronomy Journal 95:347. The coefficients are from memory.", "Agron. J. 95:347", FromMemory},
		{CanolaPlains, "Kansas State University, eUpdate 541-2 and 671-1: Topdressing canola, how to maximize the benefits.", "https://eupdate.agronomy.ksu.edu/article/topdressing-canola-how-to-maximize-the-benefits-541-2", Confirmed},
		{CanolaMontana, "Montana State University, Soil Scoop: canola nitrogen and sulfur.", "http://landresources.montana.edu/soilfertility/soilscoop/ss_CanolaNS.html", Confirmed},
		{CanopyBerry, "Berry and Spink, Canopy management and late nitrogen applications to improve yield of oilseed rape, AHDB-HGCA Project Report 447.", "https://ahdb.org.uk/canopy-management-and-late-nitrogen-applications-to-improve-yield-of-oilseed-rape", Confirmed},
		{CanopyExample, "Crop Production Magazine, worked example of the canopy method for oilseed rape.", "https://cpm-magazine.co.uk/?p=3654", Confirmed},
		{Bachmaier2009, "Bachmaier 2009, A confidence set for that x-coordinate where a quadratic regression model has a given gradient, Statistical Papers 50:649-660.", "doi:10.1007/s00362-007-0104-1", Confirmed},
		{Engelstad1971, "Engelstad and Parks 1971, Variability in optimum N rates for corn, Agronomy Journal 63:21-23.", "Agron. J. 63:21", Confirmed},
		{Hernandez2008, "Hernandez and Mulla 2008, Estimating uncertainty of economically optimum fertilizer rates, Agronomy Journal 100:1221-1229.", "Agron. J. 100:1221", Confirmed},
		{Cerrato1990, "Cerrato and Blackmer 1990, Comparison of models for describing corn yield response to nitrogen fertilizer, Agronomy Journal 82:138.", "Agron. J. 82:138", Confirmed},
		{Broadbalk2023, "Rothamsted Research 2023, Broadbalk Wheat Experiment grain and straw yields 1968-2022.", "doi:10.23637/rbk1-yld6822-01", Confirmed},
		{ForageN, "Progressive Forage, Winter pastures benefit from in-season tips: nitrogen for the forage a herd eats.", "https://agproud.com/articles/49051", Confirmed},
		{ValueOfGain, "Farm Progress, High-priced stockers might still pencil profits: value of gain.", "https://www.farmprogress.com/story-high-priced-stockers-might-still-pencil-profits-14-98775", Confirmed},
		{HollowStem, "Kansas State University, eUpdate 581-3: Optimal time to remove cattle from wheat pastures, first hollow stem.", "https://eupdate.agronomy.ksu.edu/article/optimal-time-to-remove-cattle-from-wheat-pastures-first-hollow-stem-581-3", Confirmed},
		{GrazingLoss, "Kansas State University, eUpdate 617, 10 March 2017: yield lost by grazing past first hollow stem.", "https://eupdate.agronomy.ksu.edu/eu_article_prep.php?article_id=1298", Confirmed},
		{Frontiers2025, "Frontiers in Agronomy 2025: sensor-based nitrogen on 17 on-farm site-years; in wheat no significant difference from the growers' practice.", "doi:10.3389/fagro.2025.1651522", Confirmed},
		{MontanaSuccess, "R. Engel, via farms.com commentary 125831, 2017: winter wheat protein below 12.5 % means nitrogen limited the yield.", "farms.com commentary 125831", Confirmed},
		{Nebraska2007, "University of Nebraska-Lincoln, CropWatch, 16 March 2007: nitrogen for winter wheat at two wheat prices.", "http://cropwatch.unl.edu/archive/-/asset_publisher/VHeSpfv0Agju/content/892043", Confirmed},
		{Nebraska2012, "University of Nebraska-Lincoln, CropWatch, 6 April 2012: Weighing costs and benefits of spring nitrogen on wheat.", "https://cropwatch.unl.edu/weighing-costs-and-benefits-spring-n-wheat-unl-cropwatch", Confirmed},
		{RapeGreenArea, "Farmers Weekly, Target nitrogen for higher yields from oilseed rape: green area index from fresh weight, recovery of 55 to 75 %.", "https://www.fwi.co.uk/arable/target-nitrogen-for-higher-yields-from-oilseed-rape", Confirmed},
		{RapeYield, "Teagasc, Oilseed rape crop growth: 175 kg N/ha for 3.5 t/ha, and 30 kg more for each further 0.5 t up to 5 t.", "https://www.teagasc.ie/crops/crops/break-crops/oilseed-rape/crop-growth/", Confirmed},
		{ForageNVariant, "Hay and Forage Grower, article 2366: nitrogen for the forage a herd eats, from dry matter above a free 1,500 lb/ac.", "https://hayandforage.com/article-permalink-2366.html", Confirmed},
		{ValueOfGainSimple, "DTN Progressive Farmer, 27 July 2015: Value of gain made simple.", "https://www.dtnpf.com/agriculture/web/ag/news/livestock/article/2015/07/27/value-of-gain-made-simple", Confirmed},
		{WheatPasture, "Kansas State University, Forage Facts FORA23: wheat pasture, its protein, stocking and gain.", "Forage Facts FORA23", Confirmed},
		{NorthDakotaSF1448, "North Dakota State University, SF1448, Fertilizing winter wheat, reviewed February 2023.", "https://ndsu.edu/agriculture/node/2456", Confirmed},
	}
}
