package web

func askBlock() block {
	return block{
		id: "ask", title: "Ask",
		hint:   "What the person says. What the record already knows stands beside it.",
		normal: "Record no symptoms, no history, good self-care",
		groups: []group{
			{id: "now", title: "Now", fields: []field{
				hoped("ask.numbness", "Numb feet", ""),
				hoped("ask.neuropathic-pain", "Burning, tingling or shooting pain", ""),
				hoped("ask.claudication", "Leg pain on walking that rest relieves", ""),
				hoped("ask.rest-pain", "Foot pain at rest or at night, better with the leg down", ""),
				hoped("ask.rest-pain-new", "Rest pain that is new", ""),
				hoped("vitals.unwell", "Unwell today", "Fever, shivering, vomiting, confusion or new weakness"),
			}},
			{id: "history", title: "Ever before", fields: []field{
				hoped("ask.ulcer-history", "Foot ulcer that healed", ""),
				hoped("ask.amputation-history", "Amputation of a toe, foot or leg", ""),
				hoped("ask.charcot-history", "Charcot foot", ""),
				hoped("ask.revascularised", "Stent, balloon or bypass of a leg artery", ""),
				hoped("ask.pad-diagnosed", "Told of peripheral artery disease", ""),
				hoped("ask.venous-disease", "Chronic venous insufficiency", ""),
				hoped("ask.retinopathy", "Diabetic eye disease", ""),
				hoped("ask.kidney-disease", "Chronic kidney disease", ""),
				hoped("ask.kidney-failure", "End-stage kidney disease", ""),
				hoped("ask.dialysis", "Dialysis", ""),
				hoped("ask.kidney-transplant", "Kidney transplant", ""),
				hoped("ask.other-neuropathy-cause", "Another cause of neuropathy", "B12, alcohol, chemotherapy, spine"),
			}},
			{id: "self-care", title: "Looking after the feet", fields: []field{
				wanted("ask.daily-check", "Looks at both feet every day", ""),
				hoped("ask.cannot-reach", "Cannot reach own toes", ""),
				hoped("ask.low-vision", "Cannot see own soles well enough", ""),
				wanted("ask.helper", "Somebody at home can look", ""),
				hoped("ask.walks-barefoot", "Walks barefoot", ""),
				wanted("ask.foot-specialist", "Sees a foot-care specialist regularly", ""),
			}},
			{id: "health", title: "Health", fields: []field{
				{path: "ask.smoking", label: "Tobacco", as: choose,
					main: []option{{"never", "Never", plain}, {"past", "Past", plain}, {"current", "Now", notable}},
					more: []option{notRecorded}},
				hoped("ask.glucose-above-target", "Glucose above own target", ""),
				measured("ask.a1c-percent", "Last HbA1c", "%", ""),
			}},
			{id: "vitals", title: "Vital signs", folded: true,
				hint: "For a suspected infection.", fields: []field{
					measured("vitals.temperature-c", "Body temperature", "°C", "100.4 °F is 38.0 °C"),
					measured("vitals.heart-rate", "Heart rate", "per minute", ""),
					measured("vitals.respiratory-rate", "Breathing rate", "per minute", ""),
					measured("vitals.white-cells", "White cells", "10⁹ per litre", "12,000 per µL is 12.0"),
					measured("vitals.immature-cells-percent", "Immature forms", "%", ""),
					measured("vitals.paco2-mmhg", "PaCO₂", "mmHg", ""),
				}},
		},
	}
}
