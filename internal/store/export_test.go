package store

// Pragma returns a setting of the connection that writes.
func Pragma(s *Store, name string) (string, error) {
	var v string
	err := s.write.QueryRow("pragma " + name).Scan(&v)
	return v, err
}
