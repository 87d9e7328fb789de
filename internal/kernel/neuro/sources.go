package neuro

import "tengram/internal/kernel/source"

// The documents that the definitions rest on. Each definition points at the
// place in one of them.
var (
	iwgdf2019 = source.Source{
		ID: "iwgdf-2019-practical", Title: "IWGDF practical guidelines", Edition: "2019",
		Link: "https://www.scribd.com/document/546275374/Schaper-et-al-2020-IWGDF-practical-guidelines-03-03",
	}
	iwgdf2023 = source.Source{
		ID: "iwgdf-2023-practical", Title: "IWGDF practical guidelines", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3657",
	}
	iwgdfAddendum = source.Source{
		ID: "iwgdf-addendum", Title: "IWGDF consensus addendum, sensory tests", Edition: "undated",
		Link: "https://iwgdf.org/concensus/uk/Addendum.htm",
	}
	ada2008 = source.Source{
		ID: "ada-2008-foot-exam", Title: "ADA comprehensive foot examination and risk assessment", Edition: "2008",
		Link: "https://doi.org/10.2337/dc08-9021",
	}
	ada2024 = source.Source{
		ID: "ada-standards-2024", Title: "ADA Standards of Care, section 12", Edition: "2024",
		Link: "https://doi.org/10.2337/dc24-S012",
	}
	armstrong1998 = source.Source{
		ID: "armstrong-1998", Title: "Armstrong et al., choosing a practical screening instrument, Arch Intern Med 158", Edition: "1998",
		Link: "https://arizona.pure.elsevier.com/en/publications/choosing-a-practical-screening-instrument-to-identify-patients-at",
	}
	medicare7021 = source.Source{
		ID: "cms-ncd-70.2.1", Title: "Medicare national coverage determination 70.2.1", Edition: "effective 2002-07-01",
		Link: "http://www.cms.gov/medicare-coverage-database/details/ncd-details.aspx?NCDId=171",
	}
	ipswich2011 = source.Source{
		ID: "ipswich-2011", Title: "Rayman et al., the Ipswich Touch Test, Diabetes Care 34", Edition: "2011",
		Link: "https://diabetesjournals.org/care/article/34/7/1517/38624/The-Ipswich-Touch-TestA-simple-and-novel-method-to",
	}
	ours = source.Source{
		ID: "tengram-proposal", Title: "Our own proposal where the sources are silent", Edition: "1",
	}
)

// partialFoot is our rule for places lost to amputation: no source says how to
// score a site that is not there.
var partialFoot = ours.At("missing toes and partial feet: a lost site is absent and not failed", source.Proposal)
