package source

// Guidelines of the International Working Group on the Diabetic Foot, alone and
// with others.
var (
	// IWGDF2015Prevention: Bus SA et al., Diabetes Metab Res Rev
	// 2016;32(S1):16-24. The link is a table that cites it.
	IWGDF2015Prevention = Source{
		ID: "iwgdf-2015-prevention", Title: "IWGDF guidance on the prevention of foot ulcers in at-risk patients with diabetes", Edition: "2015",
		Link: "https://bmjopenquality.bmj.com/highwire/markup/140652/expansion",
	}
	// IWGDF2015PAD: Hinchliffe RJ et al., Diabetes Metab Res Rev
	// 2016;32(S1):37-44.
	IWGDF2015PAD = Source{
		ID: "iwgdf-2015-pad", Title: "IWGDF guidance on peripheral artery disease with a foot ulcer", Edition: "2015",
	}
	// IWGDF2019Practical: Schaper NC et al., Diabetes Metab Res Rev
	// 2020;36(S1):e3266. The link is a page that restates its table 1.
	IWGDF2019Practical = Source{
		ID: "iwgdf-2019-practical", Title: "IWGDF practical guidelines on the prevention and management of diabetic foot disease", Edition: "2019",
		Link: "https://www.wjgnet.com/1948-9358/tables/v13/i1/27.htm",
	}
	// IWGDF2019PAD: Hinchliffe RJ et al., Diabetes Metab Res Rev
	// 2020;36(S1):e3276.
	IWGDF2019PAD = Source{
		ID: "iwgdf-2019-pad", Title: "IWGDF guideline on peripheral artery disease with a foot ulcer", Edition: "2019",
	}
	// IWGDF2023Prevention: Bus SA et al., Diabetes Metab Res Rev
	// 2024;40(3):e3651.
	IWGDF2023Prevention = Source{
		ID: "iwgdf-2023-prevention", Title: "IWGDF guidelines on the prevention of foot ulcers in persons with diabetes", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3651",
	}
	// IWGDF2023Practical: Schaper NC et al., Diabetes Metab Res Rev
	// 2024;40(3):e3657.
	IWGDF2023Practical = Source{
		ID: "iwgdf-2023-practical", Title: "IWGDF practical guidelines on the prevention and management of diabetes-related foot disease", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3657",
	}
	// IWGDF2023PAD: Fitridge R et al., Diabetes Metab Res Rev 2024;40:e3686.
	IWGDF2023PAD = Source{
		ID: "iwgdf-2023-pad", Title: "IWGDF/ESVS/SVS guidelines on peripheral artery disease with a foot ulcer", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3686",
	}
	// IWGDF2023Charcot: Wukich DK et al., Diabetes Metab Res Rev 2024;40:e3646.
	// The link is the review by Rothenberg GM et al. in which it was read.
	IWGDF2023Charcot = Source{
		ID: "iwgdf-2023-charcot", Title: "IWGDF guidelines on active Charcot neuro-osteoarthropathy, as reviewed by Rothenberg et al.", Edition: "2023",
		Link: "https://doi.org/10.25270/wnds/24029",
	}
	// IWGDF2023Definitions: van Netten JJ et al., Diabetes Metab Res Rev
	// 2024;40(3):e3654.
	IWGDF2023Definitions = Source{
		ID: "iwgdf-2023-definitions", Title: "IWGDF definitions and criteria for diabetes-related foot disease", Edition: "2023",
	}
	IWGDF2023Offloading = Source{
		ID: "iwgdf-2023-offloading", Title: "IWGDF guideline on offloading of foot ulcers", Edition: "2023",
	}
	// IWGDF2023Classification: Monteiro-Soares M et al., Diabetes Metab Res Rev
	// 2024;40:e3648.
	IWGDF2023Classification = Source{
		ID: "iwgdf-2023-classification", Title: "IWGDF guidelines on the classification of foot ulcers", Edition: "2023",
		Link: "https://guidelinecentral.com/guideline/25084",
	}
	// IWGDFIDSA2023Infection: Senneville E et al., Clin Infect Dis 2023, ciad527.
	IWGDFIDSA2023Infection = Source{
		ID: "iwgdf-idsa-2023-infection", Title: "IWGDF/IDSA guidelines on diabetes-related foot infections", Edition: "2023",
	}
	// IWGDFAddendum is how the three sensory tests are done.
	IWGDFAddendum = Source{
		ID: "iwgdf-addendum", Title: "IWGDF consensus addendum, sensory tests", Edition: "undated",
		Link: "https://iwgdf.org/concensus/uk/Addendum.htm",
	}
)

// Guidelines of other bodies.
var (
	// ADA2008FootExam: Boulton AJM et al., Diabetes Care 2008;31(8):1679-1685.
	ADA2008FootExam = Source{
		ID: "ada-2008-foot-exam", Title: "ADA task force, Comprehensive foot examination and risk assessment", Edition: "2008",
		Link: "https://doi.org/10.2337/dc08-9021",
	}
	ADA2016Standards = Source{
		ID: "ada-standards-2016", Title: "ADA Standards of Medical Care in Diabetes, section 9", Edition: "2016",
	}
	// ADA2024Standards: Diabetes Care 2024;47(Suppl 1):S231-S243.
	ADA2024Standards = Source{
		ID: "ada-standards-2024", Title: "ADA Standards of Care in Diabetes, section 12", Edition: "2024",
		Link: "https://doi.org/10.2337/dc24-S012",
	}
	// NICENG19 was read in training text based on the wording of 2015; the newest
	// amendment was not confirmed.
	NICENG19 = Source{
		ID: "nice-ng19", Title: "NICE guideline NG19, Diabetic foot problems: prevention and management", Edition: "2015, later amended",
		Link: "https://www.nice.org.uk/guidance/ng19",
	}
	NICENG253 = Source{
		ID: "nice-ng253", Title: "NICE guideline NG253 on suspected sepsis", Edition: "2025",
	}
	// Scotland2016 is the triage chart of 2016 with the later change of the low
	// risk interval from one year to two.
	Scotland2016 = Source{
		ID: "scotland-2016", Title: "Scottish diabetic foot risk stratification and triage", Edition: "2016, low-risk interval changed later",
		Link: "https://www.diabetesframe.org/nhs-scotland/03-the-purpose-of-foot-screening-nhs-scotland/risk-stratification-summary/",
	}
	// ACCAHA2005PAD was read in a data-exchange guide that restates it.
	ACCAHA2005PAD = Source{
		ID: "acc-aha-2005-pad", Title: "ACC/AHA severity split of the abnormal ankle-brachial index", Edition: "2005",
		Link: "https://build.fhir.org/ig/HL7LT/ig-lt-cvd/en/ValueSet-abi-interpretation.html",
	}
	// AHAACC2016PAD: Gerhard-Herman MD et al., Circulation 2017;135:e726-e779.
	AHAACC2016PAD = Source{
		ID: "aha-acc-2016-pad", Title: "AHA/ACC guideline on lower extremity peripheral artery disease", Edition: "2016",
		Link: "https://doi.org/10.1161/CIR.0000000000000471",
	}
	// ACCAHA2024PAD: Gornik HL et al., Circulation 2024;149:e1313-e1410; read in
	// its pocket card.
	ACCAHA2024PAD = Source{
		ID: "acc-aha-2024-pad", Title: "ACC/AHA guideline on lower extremity peripheral artery disease", Edition: "2024",
		Link: "https://doi.org/10.1161/CIR.0000000000001251",
	}
	// GVG2019: Conte MS et al., J Vasc Surg 2019;69(6S):3S-125S.
	GVG2019 = Source{
		ID: "gvg-2019", Title: "Global vascular guidelines on chronic limb-threatening ischaemia", Edition: "2019",
		Link: "https://doi.org/10.1016/j.jvs.2019.02.016",
	}
	// IDSA2012Infection: Lipsky BA et al., Clin Infect Dis 2012;54:e132-e173; the
	// link is its pocket card.
	IDSA2012Infection = Source{
		ID: "idsa-2012-infection", Title: "IDSA guideline on diabetic foot infections", Edition: "2012",
		Link: "https://eguideline.guidelinecentral.com/i/170607/2",
	}
	// AFP2021Prevention: American Family Physician 2021;104(4):386.
	AFP2021Prevention = Source{
		ID: "afp-2021-prevention", Title: "American Family Physician 104(4):386, prevention of diabetic foot ulcers", Edition: "2021",
	}
	// MedicareNCD7021 took effect on 2002-07-01.
	MedicareNCD7021 = Source{
		ID: "cms-ncd-70.2.1", Title: "Medicare national coverage determination 70.2.1", Edition: "effective 2002-07-01",
		Link: "https://www.cms.gov/medicare-coverage-database/details/ncd-details.aspx?NCDId=171",
	}
)
