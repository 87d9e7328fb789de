package source

// Measures, coverage rules and the codes that they are written in.
var (
	// CMS123v7 is the foot-exam measure in its last published version.
	CMS123v7 = Source{
		ID: "cms123v7", Title: "CMS123v7", Edition: "7.5.000",
	}
	// CMS122 is read simplified: as context, not as a measure to report.
	CMS122 = Source{
		ID: "cms122-context", Title: "CMS122", Edition: "2025, simplified",
	}
	MIPS126 = Source{
		ID: "mips-126", Title: "MIPS 126", Edition: "2017 to 2027",
	}
	MIPS127 = Source{
		ID: "mips-127", Title: "MIPS 127", Edition: "2017 to 2027",
	}
	// NDFA2018 is where the bands of waiting come from.
	NDFA2018 = Source{
		ID: "ndfa-2018-2023", Title: "National Diabetes Foot Care Audit, England and Wales", Edition: "2018 to 2023",
	}
	// OurMeasures is what this project declares for a practice's foot programme.
	// Nobody else publishes them.
	OurMeasures = Source{
		ID: "foot-programme-measures", Title: "Foot programme measures", Edition: "1",
	}
	MedicareShoes = Source{
		ID: "medicare-therapeutic-shoes", Title: "Medicare therapeutic shoes", Edition: "Social Security Act 1861(s)(12); Benefit Policy Manual ch. 15 §140",
	}
	MedicareClassFindings = Source{
		ID: "medicare-class-findings", Title: "Medicare routine foot care", Edition: "class findings",
	}
	DiabetesValueSet2018 = Source{
		ID: "valueset-diabetes-2018", Title: "Value set Diabetes", Edition: "CMS123v7, 2018",
	}
	DiabetesValueSet2025 = Source{
		ID: "valueset-diabetes-2025", Title: "Value set Diabetes", Edition: "15 January 2025",
	}
	ADA2024Diagnosis = Source{
		ID: "ada-diagnosis-a1c", Title: "ADA Standards of Care in Diabetes, diagnosis", Edition: "2024",
	}
	NGSPEquation = Source{
		ID: "ngsp-master-equation", Title: "NGSP and IFCC", Edition: "2010",
	}
)
