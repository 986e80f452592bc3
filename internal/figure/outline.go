package figure

// headings of an outline on a grid, each the one before turned to the right: along a row, down, back, up.
var headings = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// outlines returns the borders of the cells that are in, as closed paths over the grid's corners with the cells at their right hand.
// Cells that only share a corner are apart. The paths come in the order of the rows, and hold only corners where they turn.
func outlines(columns, rows int, in func(column, row int) bool) [][][2]int {
	sides := make([]uint8, (columns+1)*(rows+1)) // by corner: a bit for each heading of a side that begins there
	corner := func(x, y int) *uint8 { return &sides[y*(columns+1)+x] }
	held := func(x, y int) bool { return x >= 0 && x < columns && y >= 0 && y < rows && in(x, y) }
	for y := range rows {
		for x := range columns {
			if !in(x, y) {
				continue
			}
			// The side of heading h begins at the cell's corner h, and its neighbour lies to the left of the heading.
			for h, begin := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
				left := headings[(h+3)%4]
				if !held(x+left[0], y+left[1]) {
					*corner(x+begin[0], y+begin[1]) |= 1 << h
				}
			}
		}
	}
	var paths [][][2]int
	for i := range sides {
		for sides[i] != 0 {
			paths = append(paths, trail(sides, columns+1, i))
		}
	}
	return paths
}

// trail takes one closed path out of the sides, beginning at a corner where it turns.
func trail(sides []uint8, width, first int) (path [][2]int) {
	begin := turn(sides[first], 0)
	at, heading := first, -1
	for next := begin; ; next = turn(sides[at], heading) {
		if next != heading {
			path = append(path, [2]int{at % width, at / width})
		}
		sides[at] &^= 1 << next
		heading = next
		at += headings[next][0] + headings[next][1]*width
		if at == first && (sides[at] == 0 || (heading+1)%4 == begin) {
			return path
		}
	}
}

// turn returns the heading of a side that begins at a corner: to the right if there is one, straight on, to the left. There is one.
func turn(sides uint8, heading int) int {
	for _, h := range [3]int{(heading + 1) % 4, heading, (heading + 3) % 4} {
		if sides&(1<<h) != 0 {
			return h
		}
	}
	return (heading + 2) % 4
}
