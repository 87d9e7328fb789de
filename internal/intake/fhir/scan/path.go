package scan

import "strconv"

// pathTo returns the way to the value at or before an offset, such as
// "entry[3].resource.id". The text is right up to there, so this loop, which
// only runs for an error, checks nothing. Names that no format would give are
// left out, so that an error text cannot carry what somebody wrote.
func pathTo(b []byte, offset int) string {
	type level struct {
		name  string
		index int
		array bool
	}
	var levels []level
	for i := 0; i < min(offset, len(b)); i++ {
		top := len(levels) - 1
		switch b[i] {
		case '"':
			end := i + 1
			for end < len(b) && b[end] != '"' {
				if b[end] == '\\' {
					end++
				}
				end++
			}
			if top >= 0 && !levels[top].array && levels[top].name == "" && end < offset {
				levels[top].name = pathName(b[i+1 : end])
			}
			i = end
		case '{', '[':
			levels = append(levels, level{array: b[i] == '['})
		case '}', ']':
			if top < 0 {
				return ""
			}
			levels = levels[:top]
		case ',':
			if top >= 0 {
				levels[top].index++
				levels[top].name = ""
			}
		}
	}
	path := ""
	for _, l := range levels {
		switch {
		case l.array:
			path += "[" + strconv.Itoa(l.index) + "]"
		case l.name != "" && path != "":
			path += "." + l.name
		default:
			path += l.name
		}
	}
	return path
}

// pathName returns a member name that may stand in an error text.
func pathName(b []byte) string {
	if len(b) == 0 || len(b) > 40 {
		return "?"
	}
	for _, c := range b {
		if c != '_' && (c < '0' || c > '9') && (c|0x20 < 'a' || c|0x20 > 'z') {
			return "?"
		}
	}
	return string(b)
}
