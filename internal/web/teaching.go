package web

// teachingPoints are the points that can be ticked as taught, by the ids of the
// patients' sheet.
func teachingPoints() []option {
	return []option{
		{"daily-look", "Look at both feet every day", plain}, {"never-barefoot", "Never barefoot, not even indoors", plain},
		{"shoes-check-inside", "Feel inside shoes before putting them on", plain}, {"shoe-fit", "Shoes that fit", plain},
		{"wash-dry", "Wash, and dry between the toes", plain}, {"lotion", "Lotion, not between the toes", plain},
		{"water-test", "Test water with the elbow", plain}, {"no-heat", "No heat on feet that cannot feel", plain},
		{"nails-self", "Nails straight across", plain}, {"no-self-surgery", "No cutting of corns and callus", plain},
		{"small-cut", "Care of a small cut", plain}, {"smoking", "Stop smoking", plain},
		{"temp-check", "Temperature at home", plain}, {"offload-every-step", "Off-loading with every step", plain},
	}
}
