/**
 * What columns are called besides their names: on farms and in labs, and in the trade words of German, French and Spanish.
 *
 * Data only; `headers.ts` looks them up without case, accents, spaces and points. FROM MEMORY, common practice of the trade.
 */
import type { LotColumnName, StripColumnName } from "./columns.ts";

type Synonyms<Name extends string> = Partial<Record<Name, readonly string[]>>;

const seedSynonyms = {
  variety: [
    ...["var", "line", "entry", "brand", "variety/hybrid", "seed variety"],
    ...["Sorte", "Sortenname"],
    ...["variété", "cultivar", "nom de la variété"],
    ...["variedad", "cultivar", "nombre de la variedad"],
  ],
  seeds_per_lb: ["seeds per lb", "seed count", "sds/lb", "seed size", "kernels/lb", "seed/lb"],
  seeds_per_kg: ["seeds per kg", "Körner/kg", "Körner je kg", "grains/kg", "graines par kg", "semillas/kg"],
  tkw_g: [
    ...["1000 kwt", "tkwt", "1000 seed wt", "1000 kernel wt", "thousand grain weight", "tkw gram"],
    ...["TKG", "TKM", "Tausendkorngewicht", "Tausendkornmasse"],
    ...["PMG", "poids de mille grains", "poids de 1000 grains"],
    ...["PMG", "peso de mil granos", "peso de mil semillas", "P1000", "peso 1000 granos", "PMS"],
  ],
  germination_pct: [
    ...["germination rate", "germ rate", "germination percent", "germ percent", "warm germ"],
    ...["Keimfähigkeit", "KF", "Keimf"],
    ...["germination", "faculté germinative", "taux de germination", "FG"],
    ...["germinación", "poder germinativo", "PG"],
  ],
  purity_pct: ["pure seed", "Reinheit", "Technische Reinheit", "pureté", "pureza"],
} as const;

export const stripSynonyms: Synonyms<StripColumnName> = {
  ...seedSynonyms,
  season: [
    ...["yr", "harvest", "crop season", "growing season", "trial year"],
    ...["Jahr", "Erntejahr", "Anbaujahr", "Ernte"],
    ...["année", "campagne", "récolte", "année de récolte"],
    ...["año", "campaña", "cosecha", "año de cosecha", "ano"],
  ],
  rate: [
    ...[
      "pop",
      "population",
      "seed pop",
      "seeded population",
      "planted population",
      "plant population target",
    ],
    ...["seeding", "rates", "seeding rates", "dose", "rate planted per acre"],
    ...["seeds dropped", "target pop", "planting population", "seed drop", "rate planted", "seeded rate"],
    ...["Körner", "keimfähige Körner"],
    ...["Aussaatstärke", "Saatstärke", "Saatdichte", "Aussaatmenge", "Saatmenge", "Aussaatdichte"],
    ...["dose de semis", "densité de semis", "dose semis", "densité"],
    ...["dosis de siembra", "densidad de siembra", "densidad", "dosis"],
  ],
  yield: [
    ...[
      "yields",
      "grain yields",
      "yld",
      "adj yield",
      "adjusted yield",
      "corrected yield",
      "wet yield",
      "harvest yield",
    ],
    ...["Ertrag", "Kornertrag", "Ernteertrag"],
    ...["rendement", "rendement grain", "rdt"],
    ...["rendimiento", "rinde", "rendimiento de grano", "rto"],
  ],
  strip_weight: [
    ...[
      "wt",
      "net wt",
      "strip wt",
      "net",
      "scale weight",
      "weigh wagon",
      "weigh wagon weight",
      "cart weight",
    ],
    ...["plot weight", "plot wt", "harvest wt", "grain wt", "wagon weight", "combine weight"],
    ...["Parzellenertrag", "Gewicht", "Erntegewicht", "Nettogewicht", "Netto", "Korngewicht"],
    ...["poids", "poids récolté", "poids net"],
    ...["peso", "peso cosechado", "peso neto"],
  ],
  gross_weight: [
    ...["gross", "gross wt", "full weight", "loaded weight", "gross ticket", "scale gross"],
    ...["Brutto", "Bruttogewicht"],
    ...["poids brut", "brut"],
    ...["peso bruto", "bruto"],
  ],
  tare_weight: [
    ...["tare", "tare wt", "empty weight", "empty wt", "scale tare"],
    ...["Tara", "Leergewicht"],
    ...["poids à vide"],
    ...["peso tara"],
  ],
  strip_length: [
    ...["strip len", "plot length", "len", "pass length", "run length", "harvested length"],
    ...["Länge", "Streifenlänge", "Parzellenlänge"],
    ...["longueur", "longueur de bande"],
    ...["longitud", "largo", "largo de franja"],
  ],
  strip_width: [
    ...["plot width", "combine width", "combine header", "swath", "swath width", "harvested width"],
    ...["pass width", "cutting width", "header", "combine head"],
    ...["Breite", "Streifenbreite", "Schnittbreite", "Arbeitsbreite", "Parzellenbreite"],
    ...["largeur", "largeur de coupe", "largeur de bande"],
    ...["ancho", "ancho de corte", "ancho de franja"],
  ],
  strip_area: [
    ...["area", "harvest acres", "ac harvested", "plot area", "strip acres", "plot acres", "harvest area"],
    ...["harvested area", "acreage"],
    ...["Fläche", "Erntefläche", "Parzellenfläche", "Parzellengröße"],
    ...["surface", "surface récoltée"],
    ...["superficie", "superficie cosechada", "área"],
  ],
  row_spacing: [
    ...["row width", "row space", "rows spacing", "row spacing in"],
    ...["Reihenabstand", "Reihenweite"],
    ...["écartement", "interligne", "écartement des rangs"],
    ...["distancia entre hileras", "distancia entre surcos", "espaciamiento"],
  ],
  moisture: [
    ...["moist", "mst", "mois", "moisture percent", "moist pct", "h2o", "grain moist", "harvest moist"],
    ...["Feuchte", "Kornfeuchte", "Wassergehalt", "Feuchtigkeit", "Erntefeuchte"],
    ...["humidité", "teneur en eau", "humidité du grain", "H2O"],
    ...["humedad", "humedad de grano", "humedad grano"],
  ],
  farm: ["farm", "Betrieb", "Hof", "exploitation", "ferme", "finca", "establecimiento", "granja"],
  field: [
    ...["fld", "quarter", "farm field", "trial site", "loc"],
    ...["Schlag", "Feld", "Acker", "Schlagname", "Standort"],
    ...["parcelle", "champ", "lieu"],
    ...["lote", "campo", "parcela", "potrero"],
  ],
  block: [
    ...["blk", "rep no", "replicate no", "rep number"],
    ...["Wiederholung", "Wdh", "Block"],
    ...["bloc", "répétition", "rép"],
    ...["bloque", "repetición", "rep"],
  ],
  position: ["strip no", "strip number", "plot order", "Streifen", "Streifennummer"],
  stand: [
    ...["population stand", "final stand", "stand ct", "plants emerged", "emerged plants", "spring stand"],
    ...["Bestandesdichte", "Pflanzen", "Feldaufgang", "Pflanzenzahl"],
    ...["peuplement", "plantes levées", "densité de levée", "plantes", "pieds"],
    ...["plantas", "plantas emergidas", "población lograda"],
  ],
  heads: [
    ...["head ct", "tillers with heads"],
    ...["Ähren", "Ährenzahl", "Ährendichte", "Bestandesdichte Ähren"],
    ...["épis", "nombre d'épis"],
    ...["espigas", "número de espigas"],
  ],
  lodging: [
    ...["lodge", "lodg", "lodged", "lodging 0-9", "standability"],
    ...["Lager", "Lagerneigung", "Lagerbonitur"],
    ...["verse", "note de verse"],
    ...["vuelco", "acame", "encamado", "tumbado"],
  ],
  ground_cover: ["Bodenbedeckung", "couverture du sol", "cobertura"],
  protein: [
    ...["prot", "pro", "protein percent", "grain prot", "prot pct"],
    ...["Rohprotein", "RP", "Eiweiß", "Proteingehalt", "Eiweißgehalt"],
    ...["protéine", "protéines", "taux de protéines"],
    ...["proteína", "proteínas"],
  ],
  test_weight: [
    ...["tw", "test wt", "tst wt", "bu wt", "bushel wt", "testweight", "t wt", "t.w."],
    ...["Hektolitergewicht", "hl-Gewicht", "HLG", "hl Gewicht"],
    ...["PS", "poids spécifique", "poids à l'hectolitre"],
    ...["peso hectolítrico", "PH", "peso específico"],
  ],
  seeded: [
    ...["date", "seed date", "plant date", "drilled", "drilling date"],
    ...["Saattermin", "Aussaattermin", "Saatdatum", "Aussaatdatum", "Aussaat am"],
    ...["date de semis", "semis"],
    ...["fecha de siembra", "siembra"],
  ],
  water: ["Niederschlag", "Regen", "pluie", "précipitations", "lluvia", "precipitación"],
  crop: ["Kultur", "Fruchtart", "culture", "espèce", "cultivo", "especie"],
  exclude: [
    ...["leave out", "excluded", "omit", "skip", "drop strip", "discard", "reason left out", "do not use"],
    ...["ausschließen", "auslassen", "ausgeschlossen"],
    ...["exclure", "exclu"],
    ...["excluir", "excluida", "excluido"],
  ],
  note: [
    ...["memo", "observations", "observation", "remarks/notes"],
    ...["Bemerkung", "Bemerkungen", "Anmerkung", "Notiz"],
    ...["remarque", "remarques", "commentaire", "commentaires"],
    ...["nota", "notas", "observaciones", "comentario", "comentarios"],
  ],
};

/** What tells the same as a column that the file does not have: a day of harvest its season, a unit alone the yield. */
export const stripLastNames: Synonyms<StripColumnName> = {
  yield: ["bu/ac", "bu/acre", "bu per acre", "bushels/acre", "bushels per acre", "t/ha", "dt/ha", "q/ha"],
  season: [
    ...["harvest date", "date of harvest", "date harvested", "harvested", "harvest day"],
    ...["Erntedatum", "Erntetermin", "Erntetag"],
    ...["date de récolte"],
    ...["fecha de cosecha"],
  ],
};

export const lotSynonyms: Synonyms<LotColumnName> = {
  ...seedSynonyms,
  rate_now: [
    ...["today's rate", "todays rate", "usual rate", "normal rate", "our rate", "rate today", "present rate"],
    ...["pop", "population", "current population", "seed rate", "sowing rate", "planting rate", "pop now"],
    ...["Aussaatstärke heute", "Aussaatstärke", "Saatstärke", "Saatstärke heute", "Aussaatstärke jetzt"],
    ...["dose de semis", "dose actuelle", "densité de semis", "densité actuelle"],
    ...["dosis de siembra", "dosis actual", "densidad de siembra", "densidad actual"],
  ],
  seed_price: [
    ...["cost of seed", "price of seed", "bag price", "unit price", "seed cost price"],
    ...["Preis", "Saatgutpreis", "Saatgutkosten"],
    ...["prix", "prix semence", "prix des semences", "coût semence"],
    ...["precio", "precio semilla", "precio de la semilla", "costo semilla"],
  ],
  seeds_per_unit: ["seeds/bag", "seeds/unit", "unit size", "bag count", "Körner je Einheit"],
  treatment_cost: [
    "treating cost",
    "seed treat",
    "Beizkosten",
    "Beizung Kosten",
    "traitement",
    "tratamiento",
  ],
  treated: ["Gebeizt", "traité", "tratada"],
  area: [
    ...["planned area", "acreage"],
    ...["Fläche", "Anbaufläche"],
    ...["surface", "superficie"],
    ...["superficie", "área"],
  ],
};
