package quantity

// CommaBefore finds the number with a decimal comma whose fraction begins at a
// byte offset of a text, such as 2,5 at its 5, where JSON ends a number and
// finds no name. It returns where the number begins and the number as written;
// found is false where there is none.
func CommaBefore(text string, at int) (from int, number string, found bool) {
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	if !digit(at) || !digit(at-2) || text[at-1] != ',' {
		return 0, "", false
	}
	from, to := at-2, at+1
	for digit(from - 1) {
		from--
	}
	for digit(to) {
		to++
	}
	if from > 0 && text[from-1] == '-' {
		from--
	}
	return from, text[from:to], true
}
