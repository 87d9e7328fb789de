package source

// Nerves: how protective sensation and neuropathy are tested and scored.
var (
	Young1994 = Source{
		ID: "young-1994", Title: "Young et al., prediction of neuropathic ulceration by vibration thresholds, Diabetes Care 17", Edition: "1994",
		Link: "https://diabetesjournals.org/care/article/17/6/557/17682/The-Prediction-of-Diabetic-Neuropathic-Foot",
	}
	Armstrong1998Screening = Source{
		ID: "armstrong-1998", Title: "Armstrong et al., choosing a practical screening instrument, Arch Intern Med 158", Edition: "1998",
		Link: "https://arizona.pure.elsevier.com/en/publications/choosing-a-practical-screening-instrument-to-identify-patients-at",
	}
	Booth2000 = Source{
		ID: "booth-2000", Title: "Booth and Young, differences in 10 g monofilaments, Diabetes Care 23", Edition: "2000",
	}
	Perkins2001 = Source{
		ID: "perkins-2001", Title: "Perkins et al., simple screening tests, Diabetes Care 24", Edition: "2001",
		Link: "https://pmc.ncbi.nlm.nih.gov/articles/PMC10361572/figure/f2",
	}
	Ipswich2011 = Source{
		ID: "ipswich-2011", Title: "Rayman et al., the Ipswich Touch Test, Diabetes Care 34", Edition: "2011",
		Link: "https://diabetesjournals.org/care/article/34/7/1517/38624/The-Ipswich-Touch-TestA-simple-and-novel-method-to",
	}
	// ScreeningPMC7950904 tested 400 people by monofilament and threshold.
	ScreeningPMC7950904 = Source{
		ID: "pmc7950904", Title: "400 people tested by monofilament and vibration threshold", Edition: "year not read",
		Link: "https://pmc.ncbi.nlm.nih.gov/articles/PMC7950904",
	}
	NHANESLowerExtremity = Source{
		ID: "nhanes-lower-extremity", Title: "NHANES lower extremity disease examination", Edition: "1999-2004",
	}
	NDSModified = Source{
		ID: "nds-modified", Title: "Modified neuropathy disability score, Young 1993 and Abbott 2002", Edition: "1993",
	}
	Bowling2012 = Source{
		ID: "bowling-2012", Title: "Bowling et al., Diabet Med 29", Edition: "2012",
		Link: "https://doi.org/10.1111/j.1464-5491.2012.03730.x",
	}
	NSS1993 = Source{
		ID: "nss", Title: "Neuropathy symptom score, Young 1993", Edition: "1993",
	}
	NSSChapter = Source{
		ID: "nss-chapter", Title: "Textbook chapter on the assessment of symptoms", Edition: "undated",
		Link: "https://www.diabetesaid.com/methods-techniques/clinical-assessment-symptoms.html",
	}
	MNSI = Source{
		ID: "mnsi", Title: "Michigan neuropathy screening instrument, its instructions", Edition: "undated",
	}
	Herman2012 = Source{
		ID: "herman-2012", Title: "Herman et al., use of the Michigan instrument, Diabet Med 29", Edition: "2012",
		Link: "https://doi.org/10.1111/j.1464-5491.2012.03644.x",
	}
	Toronto2002 = Source{
		ID: "toronto-2002", Title: "Bril and Perkins, Toronto clinical scoring system, Diabetes Care 25", Edition: "2002",
		Link: "https://diabetesjournals.org/care/article/25/11/2048/24769/Validation-of-the-Toronto-Clinical-Scoring-System",
	}
)

// The exam as a whole.
var (
	// Miller2014: J Fam Pract 2014;63(11):646-656. Its title and the three
	// minutes were read; its table of referrals was not.
	Miller2014 = Source{
		ID: "miller-2014", Title: "Miller et al., How to do a 3-minute diabetic foot exam, J Fam Pract 63", Edition: "2014",
		Link: "https://community.the-hospitalist.org/content/how-do-3-minute-diabetic-foot-exam",
	}
)

// Risk: who will have an ulcer, or another.
var (
	Peters2001 = Source{
		ID: "peters-2001", Title: "Peters and Lavery, effectiveness of the IWGDF foot risk classification, Diabetes Care 24", Edition: "2001",
		Link: "https://utsouthwestern.pure.elsevier.com/en/publications/effectiveness-of-the-diabetic-foot-risk-classification-system-of-",
	}
	// Lavery2004Temperature is the first trial of home skin temperatures.
	Lavery2004Temperature = Source{
		ID: "lavery-2004", Title: "Lavery et al., home monitoring of foot skin temperatures, Diabetes Care 27", Edition: "2004",
		Link: "https://pubmed.ncbi.nlm.nih.gov/15504999/",
	}
	Boyko2006 = Source{
		ID: "boyko-2006", Title: "Boyko et al., Seattle Diabetic Foot Study, Diabetes Care 29", Edition: "2006",
		Link: "https://www.scilit.net/publications/f0b5a9055bf758881cd6dd0edce2bd40",
	}
	// MartinsMendes2014: J Diabetes Complications 2014;28(5):632-638, citation
	// from memory.
	MartinsMendes2014 = Source{
		ID: "martins-mendes-2014", Title: "Martins-Mendes et al., foot ulcer, amputation and mortality, J Diabetes Complications 28", Edition: "2014",
	}
	PODUS2015 = Source{
		ID: "podus-2015", Title: "PODUS, prognostic factors for foot ulceration, HTA 19(57)", Edition: "2015",
		Link: "https://doi.org/10.3310/hta19570",
	}
	DIAFORA2016 = Source{
		ID: "diafora-2016", Title: "DIAFORA, risk of amputation in people who have a foot ulcer", Edition: "2016",
		Link: "https://doi.org/10.1002/dmrr.2785",
	}
	// Recurrence2017: Armstrong DG, Boulton AJM, Bus SA, N Engl J Med
	// 2017;376:2367-2375; the link restates its figures.
	Recurrence2017 = Source{
		ID: "nejm-2017-recurrence", Title: "Armstrong et al., diabetic foot ulcers and their recurrence, N Engl J Med 376", Edition: "2017",
		Link: "https://pmc.ncbi.nlm.nih.gov/articles/PMC7919962",
	}
	// PODUS2020 is the prediction rule of Chappell FM et al., BMJ Open Diabetes
	// Res Care 2021;9(1):e002150.
	PODUS2020 = Source{
		ID: "podus-2020", Title: "PODUS clinical prediction rule for diabetic foot ulceration", Edition: "2020",
		Link: "https://eprints.keele.ac.uk/id/eprint/9708/",
	}
	Kaka2023 = Source{
		ID: "kaka-2023", Title: "Kaka et al., risk prediction models for foot ulcer or amputation, a review of reviews", Edition: "2023",
		Link: "https://doi.org/10.1186/s13047-023-00610-6",
	}
)

// Wounds: classes, size and healing.
var (
	Wagner1981 = Source{
		ID: "wagner-1981", Title: "Meggitt-Wagner, Foot & Ankle", Edition: "1981",
	}
	Gilman1990 = Source{
		ID: "gilman-1990", Title: "Parameter for wound closure, Gilman, Wounds", Edition: "1990",
	}
	Texas1998 = Source{
		ID: "texas-1998", Title: "University of Texas wound classification, Armstrong et al., Diabetes Care", Edition: "1998",
		Link: "https://doi.org/10.2337/diacare.21.5.855",
	}
	Margolis2003 = Source{
		ID: "margolis-2003", Title: "Which neuropathic ulcers will not heal, Margolis et al., Am J Med", Edition: "2003",
		Link: "https://doi.org/10.1016/j.amjmed.2003.06.006",
	}
	Sheehan2003 = Source{
		ID: "sheehan-2003", Title: "Area reduction over 4 weeks, Sheehan et al., Diabetes Care", Edition: "2003",
		Link: "https://doi.org/10.2337/diacare.26.6.1879",
	}
	PEDIS2004 = Source{
		ID: "pedis-2004", Title: "PEDIS, Schaper", Edition: "2004",
	}
	Lavery2007Probe = Source{
		ID: "lavery-2007-probe", Title: "Probe-to-bone test, Lavery et al., Diabetes Care", Edition: "2007",
		Link: "https://diabetesjournals.org/care/article/30/2/270/28345/Probe-to-Bone-Test-for-Diagnosing-Diabetic-Foot",
	}
	SINBAD2008 = Source{
		ID: "sinbad-2008", Title: "SINBAD, Ince et al., Diabetes Care", Edition: "2008",
		Link: "https://diabetesjournals.org/care/article/31/5/964/29972/Use-of-the-SINBAD-Classification-System-and-Score",
	}
	Rogers2010 = Source{
		ID: "rogers-2010", Title: "Digital planimetry against ruler, Rogers et al., J Diabetes Sci Technol", Edition: "2010",
		Link: "https://doi.org/10.1177/193229681000400405",
	}
	Warriner2011 = Source{
		ID: "warriner-2011", Title: "Healing by 12 weeks after 50 % at 4 weeks, Warriner et al., Int Wound J", Edition: "2011",
	}
	WIfI2014 = Source{
		ID: "wifi-2014", Title: "SVS WIfI, Mills et al., J Vasc Surg", Edition: "2014",
		Link: "https://doi.org/10.1016/j.jvs.2013.08.003",
	}
	Lam2016Probe = Source{
		ID: "lam-2016-probe", Title: "Probe-to-bone test, systematic review, Lam et al., Clin Infect Dis", Edition: "2016",
	}
	FastTrack2021 = Source{
		ID: "fast-track-2021", Title: "Fast-track pathway for foot ulcers, Meloni et al., Acta Diabetologica", Edition: "2021",
		Link: "https://doi.org/10.1007/s00592-021-01721-x",
	}
	// WoundAreaFormulas: Termedia review of the rectangle, Bowling's ellipse and
	// Shaw's factor.
	WoundAreaFormulas = Source{
		ID: "area-formulas", Title: "Formulas for wound area (rectangle, Bowling's ellipse, Shaw)", Edition: "review",
	}
)

// Shape and shoes.
var (
	AAOSHammerToe = Source{
		ID: "aaos-hammer-toe", Title: "American Academy of Orthopaedic Surgeons, hammer toe", Edition: "undated",
		Link: "https://www5.aaos.org/OKOJ/vol5/issue4/FOO021/",
	}
	// LesserToes is a page of a diabetes hospital on mallet, hammer and claw toes.
	LesserToes = Source{
		ID: "lesser-toes", Title: "Lesser toe deformities: mallet, hammer and claw toes", Edition: "undated",
	}
	Searle2018 = Source{
		ID: "searle-2018", Title: "Searle et al., weight-bearing ankle equinus, J Foot Ankle Res 11", Edition: "2018",
		Link: "https://doi.org/10.1186/s13047-018-0306-x",
	}
	// ToeGaps2020 compares eight studies of the room in front of the toes.
	ToeGaps2020 = Source{
		ID: "toe-gaps-2020", Title: "Toe gaps and their assessment in footwear for people with diabetes, J Foot Ankle Res 13:70", Edition: "2020",
		Link: "https://doi.org/10.1186/s13047-020-00439-3",
	}
)
