package measure

// addSisters adds the codes of the measures beside the foot exam.
func (s *Sets) addSisters() {}
