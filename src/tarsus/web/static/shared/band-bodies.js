// @ts-check
// Outlines of the birds that carry the bands: no colour but the interface's own, so that only bands are coloured.

/** Legs of a wader, figure. Away: tail and folded wing tips. Me: breast feathers. Walks: toward your left. */
export const BODY = {
  me: '<path class="body" d="M30 0C30 36 70 60 120 60S210 36 210 0"/>' +
    '<path class="vein" d="M52 0C54 16 60 28 68 36M188 0C186 16 180 28 172 36M94 16q6 7 12 0M114 16q6 7 ' +
    '12 0M134 16q6 7 12 0M104 32q6 7 12 0M124 32q6 7 12 0M114 47q6 6 12 0"/>',
  away: '<path class="body" d="M30 0C30 34 70 54 120 54S210 34 210 0"/>' +
    '<path class="tail" d="M98 0L103 62Q107 80 112 70Q116 92 120 78Q124 92 128 70Q133 80 137 62L142 0"/>' +
    '<path class="vein" d="M110 0L112 70M120 0V78M130 0L128 70"/>' +
    '<path class="wingtip" d="M34 0C50 24 84 44 104 68C100 40 92 16 88 0M206 0C190 24 156 44 136 68C140 ' +
    '40 148 16 152 0"/>',
  walks: '<path class="tail" d="M168 0L236 26Q242 32 232 33L150 34"/>' +
    '<path class="body" d="M18 0C16 30 52 56 104 56C146 56 190 42 222 22L196 0"/>' +
    '<path class="wingtip" d="M66 0C84 26 130 36 178 30Q210 26 226 20Q196 14 170 0"/>' +
    '<path class="vein" d="M30 12q5 7 10 1M38 28q6 7 11 0M52 40q6 6 12 0M96 14Q132 26 176 23"/>',
};

/** A penguin, figure. */
export const PENGUIN = {
  feet: '<path class="limb-web" d="M88 226l-12 14h34l-4-14zM152 226l12 14h-34l4-14z"/>',
  pelt: '<path class="pelt" d="M120 6C142 6 153 22 153 42C153 56 147 62 151 72C166 92 174 122 174 158C174 ' +
    '204 152 230 120 230S66 204 66 158C66 122 74 92 89 72C93 62 87 56 87 42C87 22 98 6 120 6Z"/>',
  front: '<path class="belly" d="M120 80C142 84 156 116 156 158C156 196 142 220 120 220S84 196 84 158C84 116 ' +
    '98 84 120 80Z"/>' +
    '<path class="crest" d="M110 36C98 32 84 30 70 18M130 36C142 32 156 30 170 18M108 39C96 38 84 40 72 ' +
    '38M132 39C144 38 156 40 168 38"/>' +
    '<path class="bill" d="M112 48h16l-8 18z"/>' +
    '<circle class="eye" cx="103" cy="46" r="3.4"/>' +
    '<circle class="eye" cx="137" cy="46" r="3.4"/>',
  back: '<path class="crest" d="M98 16C86 14 74 20 66 32M142 16C154 14 166 20 174 32M94 24C84 24 76 30 70 ' +
    '41M146 24C156 24 164 30 170 41"/>' +
    '<path class="vein" d="M120 64V206"/>' +
    '<path class="tail" d="M104 222L120 246 136 222z"/>',
};

export const PARROT_OUTLINE =
  'M50 46C58 22 96 10 122 30C140 44 148 72 164 94C188 126 204 160 226 216L206 220C192 202 178 190 166 ' +
  '182C148 194 120 192 104 176C86 156 84 124 86 100C76 98 68 92 64 84C58 92 54 104 56 118C38 104 32 72 ' +
  '50 46Z';
export const PARROT_DETAIL =
  '<path class="vein" d="M86 100C98 98 108 92 114 82M112 120C132 150 160 172 196 200M130 106C150 140 ' +
  '176 166 206 206"/>' +
  '<path class="vein" d="M66 42C60 56 58 70 64 84"/>' +
  '<circle class="eye" cx="88" cy="52" r="4"/>';
