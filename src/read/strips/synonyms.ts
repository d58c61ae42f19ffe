/**
 * What columns are called besides their names: on farms and in labs, and in the trade words of German, French and Spanish.
 *
 * Data only; `headers.ts` looks them up without case, accents, spaces and points. Common practice of the trade, no source.
 */
import { listed } from "./listed.ts";
import type { LotColumnName, StripColumnName } from "./columns.ts";

type Synonyms<Name extends string> = Partial<Record<Name, readonly string[]>>;

const seedSynonyms = {
  variety: listed(
    "var, line, entry, brand, variety/hybrid, seed variety",
    "Sorte, Sortenname",
    "variété, cultivar, nom de la variété",
    "variedad, cultivar, nombre de la variedad",
  ),
  seeds_per_lb: ["seeds per lb", "seed count", "sds/lb", "seed size", "kernels/lb", "seed/lb"],
  seeds_per_kg: ["seeds per kg", "Körner/kg", "Körner je kg", "grains/kg", "graines par kg", "semillas/kg"],
  tkw_g: listed(
    "1000 kwt, tkwt, 1000 seed wt, 1000 kernel wt, thousand grain weight, tkw gram",
    "TKG, TKM, Tausendkorngewicht, Tausendkornmasse",
    "PMG, poids de mille grains, poids de 1000 grains",
    "PMG, peso mil granos, peso de mil granos, peso de mil semillas, P1000, peso 1000 granos, PMS",
  ),
  germination_pct: listed(
    "germination rate, germ rate, germination percent, germ percent, warm germ",
    "Keimfähigkeit, KF, Keimf",
    "germination, faculté germinative, taux de germination, FG",
    "germinación, poder germinativo, PG",
  ),
  purity_pct: ["pure seed", "Reinheit", "Technische Reinheit", "pureté", "pureté spécifique", "pureza"],
} as const;

export const stripSynonyms: Synonyms<StripColumnName> = {
  ...seedSynonyms,
  season: listed(
    "yr, harvest, crop season, growing season, trial year, crop yr, harvest yr",
    "Jahr, Erntejahr, Anbaujahr, Ernte, Versuchsjahr, Wirtschaftsjahr, Jahr der Ernte",
    "année, campagne, récolte, année de récolte, année récolte, année d'essai",
    "año, campaña, cosecha, año de cosecha, ano, campaña agrícola, año agrícola, zafra",
  ),
  rate: listed(
    "pop, population, seed pop, seeded population, planted population, plant population target",
    "seeding, rates, seeding rates, dose, rate planted per acre",
    "seeds dropped, plants dropped, kernels dropped, target pop, planting population, planting pop, planted pop, seeding pop",
    "seeds planted, drilled rate, seed drop, rate planted, seeded rate, drop rate, pls rate",
    "viable seed rate",
    "Körner, keimfähige Körner, keimf. Körner, kf. Körner, kf. Kö, Kö",
    "Aussaatstärke, Saatstärke, Saatdichte, Aussaatmenge, Saatmenge, Aussaatdichte",
    "Sollaussaatstärke, Soll-Aussaatstärke",
    "dose de semis, densité de semis, dose semis, densité, densité semis, grains semés, graines",
    "dosis de siembra, densidad de siembra, densidad, dosis, densidad siembra, semillas",
  ),
  yield: listed(
    "yields, grain yields, yld, adj yield, adjusted yield, corrected yield, wet yield, harvest yield",
    "dry yield",
    "Ertrag, Kornertrag, Ernteertrag",
    "rendement, rendement grain, rdt, rendement aux normes",
    "rendimiento, rinde, rendimiento de grano, rto, producción",
  ),
  strip_weight: listed(
    "wt, net wt, strip wt, net, scale weight, weigh wagon, weigh wagon weight, cart weight",
    "total weight, total lbs, total wet mass, wet mass",
    "plot weight, plot wt, harvest wt, grain wt, wagon weight, combine weight",
    "Parzellenertrag, Gewicht, Erntegewicht, Nettogewicht, Netto, Korngewicht, Erntemenge",
    "poids, poids récolté, poids net, poids parcelle, poids de la parcelle",
    "peso, peso cosechado, peso neto, peso de parcela, peso parcela",
  ),
  gross_weight: listed(
    "gross, gross wt, full weight, loaded weight, gross ticket, scale gross",
    "Brutto, Bruttogewicht",
    "poids brut, brut",
    "peso bruto, bruto",
  ),
  tare_weight: listed(
    "tare, tare wt, empty weight, empty wt, scale tare",
    "Tara, Leergewicht",
    "poids à vide",
    "peso tara",
  ),
  strip_length: listed(
    "strip len, plot length, len, pass length, run length, harvested length",
    "Länge, Streifenlänge, Parzellenlänge",
    "longueur, longueur de bande",
    "longitud, largo, largo de franja, longitud de parcela, largo de parcela",
  ),
  strip_width: listed(
    "plot width, combine width, combine header, swath, swath width, harvested width",
    "pass width, cutting width, header, combine head, head width, cut",
    "Breite, Streifenbreite, Schnittbreite, Arbeitsbreite, Parzellenbreite, Schneidwerksbreite",
    "Schneidwerk",
    "barre de coupe, largeur, largeur de coupe, largeur de bande",
    "cabezal, ancho de cabezal, plataforma",
    "ancho, ancho de corte, ancho de franja, ancho de labor, ancho de parcela",
  ),
  strip_area: listed(
    "area, harvest acres, ac harvested, plot area, strip acres, plot acres, harvest area",
    "harvested area, acreage",
    "Fläche, Erntefläche, Parzellenfläche, Parzellengröße",
    "surface, surface récoltée",
    "superficie, superficie cosechada, área",
  ),
  row_spacing: listed(
    "row width, row space, rows spacing, rows, inter row, row spacing in, row sp",
    "Reihenabstand, Reihenweite",
    "écartement, interligne, écartement des rangs, inter-rang",
    "distancia entre hileras, distancia entre surcos, espaciamiento, entresurco",
  ),
  moisture: listed(
    "moist, mst, mois, moisture percent, moist pct, h2o, h20, grain moist, harvest moist",
    "moisture at harvest",
    "Feuchte, Kornfeuchte, Wassergehalt, Feuchtigkeit, Erntefeuchte, Feuchte bei Ernte",
    "humidité, teneur en eau, humidité du grain, H2O, hum, humidité récolte",
    "humedad, humedad de grano, humedad grano",
  ),
  farm: listed(
    "farm, Betrieb, Hof, Betriebsname, Landwirt",
    "exploitation, ferme, agriculteur",
    "finca, establecimiento, granja, productor, predio",
  ),
  field: listed(
    "fld, quarter, farm field, trial site, loc, field id, where, parcel",
    "Schlag, Feld, Acker, Schlagname, Standort, Schlagbezeichnung, Feldname, Flurstück",
    "parcelle, champ, lieu, nom de parcelle, nom de la parcelle, îlot",
    "lote, campo, parcela, potrero",
  ),
  block: listed(
    "blk, rep no, replicate no, rep number",
    "Wiederholung, Wiederh, Wdh, Replikation, Block, Blocknr, Block Nr",
    "bloc, répétition, rép, n° bloc",
    "bloque, repetición, rep, réplica",
  ),
  position: ["strip no", "strip number", "plot order", "Streifen", "Streifennummer"],
  stand: listed(
    "population stand, final stand, stand ct, plants emerged, emerged plants, spring stand, pl",
    "Bestandesdichte, Pfl, Pfl., Pflanzen, Feldaufgang, Pflanzenzahl",
    "peuplement, plantes levées, densité de levée, plantes, pieds",
    "plantas, plantas emergidas, población lograda, plantas logradas",
  ),
  heads: listed(
    "head ct, tillers with heads",
    "Ähren, Ährenzahl, Ährendichte, Bestandesdichte Ähren, ährentragende Halme",
    "épis, nombre d'épis",
    "espigas, número de espigas",
  ),
  lodging: listed(
    "lodge, lodg, lodged, lodging 0-9, standability",
    "Lager, Lagernote, Lagerneigung, Lagerbonitur, Lager vor Ernte",
    "verse, note de verse, note verse",
    "vuelco, acame, encamado, tumbado",
  ),
  ground_cover: ["Bodenbedeckung", "couverture du sol", "cobertura"],
  protein: listed(
    "prot, pro, protein percent, grain prot, prot pct",
    "Rohprotein, RP, Eiweiß, Proteingehalt, Eiweißgehalt",
    "protéine, protéines, taux de protéines",
    "proteína, proteínas",
  ),
  test_weight: listed(
    "tw, test wt, tst wt, bu wt, bushel wt, testweight, t wt, t.w.",
    "Hektolitergewicht, hl-Gewicht, HLG, hl Gewicht",
    "PS, poids spécifique, poids à l'hectolitre",
    "peso hectolítrico, PH, peso específico",
  ),
  seeded: listed(
    "date, seed date, plant date, drilled, drilling date",
    "Saattermin, Aussaattermin, Saatdatum, Aussaatdatum, Aussaat am, Datum der Aussaat, Saatzeit",
    "date de semis, semis, semé le",
    "fecha de siembra, siembra",
  ),
  water: listed(
    "Niederschlag, Niederschläge, Regen",
    "pluie, précipitations, pluviométrie",
    "lluvia, precipitación, precipitaciones",
  ),
  crop: ["Kultur", "Fruchtart", "culture", "espèce", "cultivo", "especie"],
  exclude: listed(
    "leave out, excluded, omit, skip, drop strip, discard, reason left out, do not use",
    "toss, toss out, tossed, throw out, reject, rejected",
    "use, use strip, keep, include, included, in analysis, usable, valid",
    "ausschließen, auslassen, ausgeschlossen",
    "exclure, exclu",
    "excluir, excluida, excluido",
  ),
  note: listed(
    "memo, observations, observation, remarks/notes",
    "Bemerkung, Bemerkungen, Anmerkung, Anmerkungen, Notiz, Notizen, Kommentar",
    "remarque, remarques, commentaire, commentaires",
    "nota, notas, observaciones, comentario, comentarios",
  ),
};

/** Headers that are asked about, and what each most likely is: plots are numbered as they lie, or in any other way. */
export const stripProbably: Synonyms<StripColumnName> = {
  position: ["plot", "plot no", "plot number", "plot id", "strip", "strip id", "Parzelle", "Parzellennummer"],
};

/** What gives the same as a column that the file does not have: a day of harvest its season, a unit alone the yield. */
export const stripLastNames: Synonyms<StripColumnName> = {
  yield: [
    "bu/ac",
    "bpa",
    "bu/a",
    "bu/acre",
    "bu per acre",
    "bushels/acre",
    "bushels per acre",
    "t/ha",
    "dt/ha",
    "q/ha",
  ],
  season: listed(
    "harvest date, date of harvest, date harvested, harvested, harvest day",
    "harvest start, harvest started, harvested on, harvest end",
    "Erntedatum, Erntetermin, Erntetag",
    "date de récolte",
    "fecha de cosecha",
  ),
};

export const lotSynonyms: Synonyms<LotColumnName> = {
  ...seedSynonyms,
  rate_now: listed(
    "today's rate, todays rate, usual rate, normal rate, our rate, rate today, present rate",
    "pop, population, current population, seed rate, sowing rate, planting rate, pop now",
    "Aussaatstärke heute, Aussaatstärke, Saatstärke, Saatstärke heute, Aussaatstärke jetzt",
    "bisherige Aussaatstärke, aktuelle Aussaatstärke, aktuelle Saatstärke, ortsübliche Saatstärke",
    "dose de semis, dose actuelle, densité de semis, densité actuelle, dose habituelle",
    "dosis de siembra, dosis actual, densidad de siembra, densidad actual, dosis habitual",
    "densidad habitual",
  ),
  seed_price: listed(
    "cost of seed, price of seed, bag price, unit price, seed cost price, cost/bag",
    "Preis, Saatgutpreis, Saatgutkosten, Preis je dt",
    "prix, prix semence, prix des semences, coût semence, prix de la semence",
    "precio, precio semilla, precio de la semilla, costo semilla, precio de semilla",
  ),
  seeds_per_unit: ["seeds/bag", "seeds/unit", "unit size", "bag count", "Körner je Einheit"],
  treatment_cost: listed(
    "treating cost, seed treat",
    "Beizkosten, Beizung Kosten, Kosten Beizung, Beize",
    "traitement, traitement de semence, coût traitement",
    "tratamiento, tratamiento de semilla, curado",
  ),
  treated: ["Gebeizt", "traité", "tratada"],
  area: listed(
    "planned area, planned acres, acreage",
    "Fläche, Anbaufläche",
    "surface, superficie",
    "superficie, área",
  ),
};
