//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles.
