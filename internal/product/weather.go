package product

import "hindwatt/internal/product/tree"

// WeatherFile returns the content of the file that an installation names. What is wrong is an *Error; a file is read each time that
// somebody asks.
func (f *Folder) WeatherFile(i *Installation) ([]byte, error) {
	root, err := openSource(f.Dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	s := &source{root: root, laid: f.instead, faults: &tree.Faults{}}
	data := s.bytes(i.Weather.Text, maxRecords)
	switch {
	case len(s.faults.List) > 0:
		return nil, s.faults.List[0]
	case data == nil:
		return nil, i.Weather.Fault("there is no such file in the folder", "want its path from the folder's top")
	}
	return data, nil
}
