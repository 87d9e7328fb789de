package demo

import "strings"

// The names are plain and put together by chance; any likeness to somebody is
// an accident.
var (
	womenEN = strings.Fields(`Ada Agnes Alma Amelia Anita Audrey Beatrice Bernice Beth Carla Cecily Clara Cora Daisy Delia Dora Edith
		Effie Eileen Elsa Enid Erica Esther Eunice Flora Freda Gail Gemma Gloria Greta Hazel Hester Hilda Ida Iris Ivy Jane Jessie Joan
		Judith June Kate Lena Lila Lois Lorna Lucy Mabel Maeve Marian Martha Maud Mavis Mildred Mina Myra Nancy Nell Nora Norma Olive
		Opal Paula Pearl Polly Rhoda Rita Rosa Ruby Ruth Sadie Selma Stella Sylvia Thea Una Vera Viola Wilma Winnie Yvonne Zelda`)
	menEN = strings.Fields(`Abel Alan Albert Alvin Amos Arnold Arthur Barry Basil Bernard Bruno Calvin Carl Cecil Clarence Clyde Conrad
		Cyril Dale Dennis Derek Desmond Dexter Earl Edgar Edmund Elmer Emmett Ernest Eugene Felix Floyd Frank Fred Gilbert Glenn Gordon
		Graham Gus Harold Harvey Hector Herbert Homer Horace Hubert Hugh Ira Ivan Jasper Jerome Joel Julian Keith Kenneth Lars Lloyd
		Lyle Marvin Maurice Melvin Miles Milton Nathan Neil Niles Norman Oscar Otis Percy Philip Ralph Reuben Rodney Roland Rufus Sidney
		Silas Stanley Theo Tobias Vernon Victor Wallace Walter Wendell Wesley Wilbur`)
	familiesEN = strings.Fields(`Abbotsley Alderton Ashdale Aspinall Barrowby Beckwith Birkett Blakemore Bracken Bramhall Brindle Caldecott
		Carrow Caswell Chilcott Clapham Claydon Coldwell Copley Cranfield Dallow Denby Dinsdale Dunmore Easterby Eldridge Elstow Farrow
		Fenwick Fernley Garside Gedding Glossop Grantley Greaves Hadfield Halloway Harwick Haslam Heskett Holcombe Hollis Ibsley Ingleby
		Jessop Kellaway Kerslake Kettering Kirkby Lambourn Langstaff Larkfield Leyburn Linthwaite Lockwood Maddern Marden Melbury Midgley
		Morpeth Nethercott Norbury Oakham Ormsby Osgood Pargeter Pellow Penhale Pickering Quennell Radbourne Ramsden Rigby Rockley Sallow
		Sandal Selwood Shawcross Skelton Stainforth Stockdale Tanfield Thornley Tilbrook Tunstall Upwell Vickers Wadlow Walcot Wensley
		Wetherby Whitcombe Wickham Winslade Woolmer Wraxall Yarrow Yelland`)
	womenES = strings.Fields(`Alba Amparo Aurora Belén Blanca Carmela Catalina Celia Consuelo Delfina Elena Elvira Emilia Esperanza Estela
		Flor Graciela Herminia Inés Irma Josefina Lidia Luz Marcela Maricela Mercedes Nélida Noemí Ofelia Pilar Ramona Remedios Rocío
		Rosalía Silvia Soledad Teresa Trinidad Yolanda`)
	menES = strings.Fields(`Abelardo Adolfo Agustín Anselmo Arturo Benito Bernardo Camilo César Ciro Efraín Eliseo Emilio Ernesto Esteban
		Eusebio Evaristo Fermín Gerardo Gonzalo Heriberto Hilario Ignacio Isidro Jacinto Joaquín Leandro Macario Matías Mauricio Nicanor
		Norberto Octavio Pascual Porfirio Ramiro Rogelio Santos Teodoro Wenceslao`)
	familiesES = strings.Fields(`Abreu Aguirre Alarcón Almeida Arriaga Avendaño Barragán Bermejo Bustos Calderas Cárdenas Carmona Casillas
		Cisneros Contreras Corrales Duarte Escamilla Espinal Fuentes Galindo Garrido Guardado Henao Herrán Hinojosa Lizárraga Luna
		Maldonado Medrano Mijares Montaño Naranjo Nieto Olvera Orduña Paredes Pedraza Peralta Quiñones Rebollo Robledo Salcedo Sandoval
		Tejeda Toledo Urrutia Valdivia Vallejo Villaseñor Yáñez Zambrano`)
)
