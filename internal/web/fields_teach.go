package web

func teachBlock() block {
	return block{
		id: "teach", title: "Teach",
		hint:   "Two or three things that matter for this person, and let them say it back.",
		normal: "Record taught and said back right",
		groups: []group{
			{id: "teaching", title: "Teaching", fields: []field{
				wanted("teach.given", "Taught for this person’s risk today", ""),
				wanted("teach.taught-back", "Said or showed it back right", ""),
				{path: "teach.language", label: "Language used", as: write},
			}},
			{id: "points", title: "What was taught", folded: true, fields: []field{
				{path: "teach.points", label: "Points taught", as: several, main: teachingPoints()},
			}},
			{id: "closing", title: "Note and own judgement", fields: []field{
				{path: "note", label: "Note", as: compose},
			}},
			{id: "override", title: "My own category differs", folded: true,
				hint: "Recorded beside the computed one, never in its place.", fields: []field{
					{path: "override.category", label: "Category", as: write},
					{path: "override.reason", label: "Why", as: compose},
				}},
			{id: "details", title: "Time of the exam", folded: true, settled: true, fields: []field{
				{path: timePath, label: "Time of the exam", hint: "Day, time and offset, such as 2026-11-24T10:05-05:00", as: write},
			}},
		},
	}
}
