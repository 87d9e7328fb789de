package wound

import "tengram/internal/kernel/source"

// The documents behind the rules of this package. A link stands only where it
// was confirmed; a title or page read second hand or remembered carries that
// standing at the place where it is used.
var (
	docInfection2023 = source.Source{ID: "iwgdf-idsa-2023-infection", Title: "IWGDF/IDSA guidelines on diabetes-related foot infections", Edition: "2023"}
	docInfection2012 = source.Source{ID: "idsa-2012-infection", Title: "IDSA guideline on diabetic foot infections", Edition: "2012"}
	docSINBAD        = source.Source{ID: "sinbad-2008", Title: "SINBAD, Ince et al., Diabetes Care", Edition: "2008", Link: "https://diabetesjournals.org/care/article/31/5/964/29972/Use-of-the-SINBAD-Classification-System-and-Score"}
	docClasses2023   = source.Source{ID: "iwgdf-2023-classification", Title: "IWGDF guidelines on the classification of foot ulcers", Edition: "2023"}
	docTexas         = source.Source{ID: "texas-1998", Title: "University of Texas wound classification, Armstrong et al., Diabetes Care", Edition: "1998", Link: "https://doi.org/10.2337/diacare.21.5.855"}
	docWagner        = source.Source{ID: "wagner-1981", Title: "Meggitt-Wagner, Foot & Ankle", Edition: "1981"}
	docPEDIS         = source.Source{ID: "pedis-2004", Title: "PEDIS, Schaper", Edition: "2004"}
	docWIfI          = source.Source{ID: "wifi-2014", Title: "SVS WIfI, Mills et al., J Vasc Surg", Edition: "2014", Link: "https://doi.org/10.1016/j.jvs.2013.08.003"}
	docVascular2019  = source.Source{ID: "gvg-2019", Title: "Global vascular guidelines on CLTI, Conte et al.", Edition: "2019", Link: "https://doi.org/10.1016/j.jvs.2019.02.016"}
	docPAD2015       = source.Source{ID: "iwgdf-2015-pad", Title: "IWGDF guidance on PAD with a foot ulcer", Edition: "2015"}
	docPAD2023       = source.Source{ID: "iwgdf-2023-pad", Title: "IWGDF/ESVS/SVS guidelines on PAD with a foot ulcer", Edition: "2023", Link: "https://doi.org/10.1002/dmrr.3686"}
	docFastTrack     = source.Source{ID: "fast-track-2021", Title: "Fast-track pathway for foot ulcers, Meloni et al., Acta Diabetologica", Edition: "2021", Link: "https://doi.org/10.1007/s00592-021-01721-x"}
	docSheehan       = source.Source{ID: "sheehan-2003", Title: "Area reduction over 4 weeks, Sheehan et al., Diabetes Care", Edition: "2003", Link: "https://doi.org/10.2337/diacare.26.6.1879"}
	docWarriner      = source.Source{ID: "warriner-2011", Title: "Healing by 12 weeks after 50 % at 4 weeks, Warriner et al., Int Wound J", Edition: "2011"}
	docGilman        = source.Source{ID: "gilman-1990", Title: "Parameter for wound closure, Gilman, Wounds", Edition: "1990"}
	docRogers        = source.Source{ID: "rogers-2010", Title: "Digital planimetry against ruler, Rogers et al., J Diabetes Sci Technol", Edition: "2010", Link: "https://doi.org/10.1177/193229681000400405"}
	docAreaFormulas  = source.Source{ID: "area-formulas", Title: "Formulas for wound area (rectangle, Bowling's ellipse, Shaw)", Edition: "review"}
	docMargolis      = source.Source{ID: "margolis-2003", Title: "Which neuropathic ulcers will not heal, Margolis et al., Am J Med", Edition: "2003", Link: "https://doi.org/10.1016/j.amjmed.2003.06.006"}
	docLaveryPTB     = source.Source{ID: "lavery-2007-probe", Title: "Probe-to-bone test, Lavery et al., Diabetes Care", Edition: "2007", Link: "https://diabetesjournals.org/care/article/30/2/270/28345/Probe-to-Bone-Test-for-Diagnosing-Diabetic-Foot"}
	docLamPTB        = source.Source{ID: "lam-2016-probe", Title: "Probe-to-bone test, systematic review, Lam et al., Clin Infect Dis", Edition: "2016"}
	docOwn           = source.Source{ID: "tengram-wound", Title: "Tengram's own reading", Edition: "1"}
)

// own is a rule of ours that fills a gap between the published words.
func own(place string) *source.Source { return docOwn.At(place, source.Proposal) }
