"""Coverage-guided search for inputs that break a promise of the readers, the splitter or the detail reader."""
